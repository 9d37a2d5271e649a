// The papers: looked at as pictures, taken away as files. The program draws them.

import { zipSync } from "fflate";
import { at, download, make } from "./dom.js";
import { args, run } from "./program.js";
import { word } from "./words.js";

const TYPES = { pdf: "application/pdf", png: "image/png", svg: "image/svg+xml", try: "text/html", zip: "application/zip" };
// A zip tells a time for each file; the same papers are to be the same bytes, so it is no clock's.
const DAY = { mtime: new Date(1980, 0, 1) };

let shown = [];
let turn = 0;

const asked = () => document.querySelector("input[name=paper]:checked").value;

function extra(boat) {
  const language = at("paper-language").value;
  return [...(language ? args("language", { language }) : []), ...(boat.errors ? args("draft") : [])];
}

const gaps = (boat) => ({ boat: boat.file, stem: boat.stem, paper: asked() });

/** Draws the chosen paper, unless a later one is asked for meanwhile. */
export async function draw(boat) {
  const mine = ++turn;
  const pages = at("pages");
  pages.classList.add("stale");
  const paper = word(`paper.${asked()}`);
  const answer = await run([...args("picture", gaps(boat)), ...extra(boat)], boat.files());
  if (mine !== turn || answer.stopped) return;
  pages.classList.remove("stale");
  shown.forEach((address) => URL.revokeObjectURL(address));
  shown = answer.files?.length ? answer.files.map(([, bytes]) => URL.createObjectURL(new Blob([bytes], { type: TYPES.svg }))) : [];
  const count = shown.length;
  const images = shown.map((src, n) =>
    make("li", {}, make("img", { src, alt: word("page_of", { paper, number: n + 1, count }) })),
  );
  at("draft-note").hidden = !boat.errors || !count;
  pages.replaceChildren(...images);
  const why = count ? "" : answer.crashed ?? answer.stderr;
  at("paper-trouble").textContent = why;
  at("paper-trouble").hidden = !why;
}

/** Marks what is drawn as no longer so. */
export const stale = () => at("pages").classList.add("stale");

/** Hands out the paper as `pdf` or `png`, the page for practice (`try`), or the whole `handover`. */
export async function take(what, boat, say) {
  say(word("working"));
  const more = what === "handover" ? extra({ ...boat, errors: 0 }) : extra(boat);
  const answer = await run([...args(what, gaps(boat)), ...more], boat.files());
  if (answer.stopped) return;
  const files = answer.files ?? [];
  if (!files.length) {
    say(word("refused"));
    at("paper-trouble").textContent = answer.crashed ?? answer.stderr;
    at("paper-trouble").hidden = false;
    return;
  }
  at("paper-trouble").hidden = true;
  const [name, bytes, type] = one(what, files, boat);
  download(name, bytes, type);
  say(word("downloaded", { name }));
}

function one(what, files, boat) {
  if (files.length === 1) return [files[0][0], files[0][1], TYPES[what]];
  const name = what === "handover" ? `${boat.stem}-handover.zip` : `${boat.stem}-${asked()}.zip`;
  return [name, zipSync(Object.fromEntries(files), DAY), TYPES.zip];
}
