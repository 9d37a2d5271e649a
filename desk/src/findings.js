// What the program found, in groups; each leads to its place in the text.

import { make } from "./dom.js";
import { args, run } from "./program.js";
import { word } from "./words.js";

const GROUPS = ["mistakes", "errors", "warnings", "not_judged", "accepted", "proved"];

/** The groups of one file's report. */
export function grouped(file) {
  const open = file.findings.filter((one) => one.accepted === null);
  return {
    mistakes: file.mistakes,
    errors: open.filter((one) => one.severity === "error"),
    warnings: open.filter((one) => one.severity !== "error"),
    // What could hurt somebody stands among the errors already.
    not_judged: (file.not_judged ?? []).filter((one) => !one.could_hurt).map(told),
    accepted: file.findings.filter((one) => one.accepted !== null),
    proved: file.proved ?? [],
  };
}

/** One that is not judged, as a finding: what would decide it, and how the bench finds that. */
function told(one) {
  const help = one.missing.map(({ key, holds, bench }) => [key, holds, bench].filter(Boolean).join(": "));
  return { ...one, help, witness: null, margin: null };
}

/** What the editor is to underline. */
export function underlined(file) {
  const said = (one) => [one.message, one.witness && `${one.witness.words}`, ...[one.help ?? []].flat()];
  const mark = (one, severity) => ({ place: one, severity, message: said(one).filter(Boolean).join("\n") });
  const groups = grouped(file);
  return [
    ...groups.mistakes.map((one) => mark(one, "error")),
    ...groups.errors.map((one) => mark(one, "error")),
    ...groups.warnings.map((one) => mark(one, "warning")),
    ...groups.not_judged.map((one) => mark(one, "info")),
  ];
}

/** Draws them; `show` leads to a place. */
export function draw(holder, file, show) {
  const groups = grouped(file);
  const wanting = (file.wanting ?? []).length ? [unjudged(file.wanting)] : [];
  const draw_group = (name) => (name === "not_judged" ? missing(file.not_judged, show) : group(name, groups[name], show));
  const drawn = GROUPS.filter((name) => (name === "not_judged" ? (file.not_judged ?? []).length : groups[name].length)).map(draw_group);
  holder.replaceChildren(...drawn, ...wanting);
}

function group(name, all, show) {
  const title = `${word(`group.${name}`)} (${all.length})`;
  const list = make("ul", { class: "findings" }, all.map((one) => make("li", {}, finding(name, one, show))));
  if (name === "proved") {
    // What rests on readings holds for so many of all that follow, and is not said without that.
    const resting = all.filter((one) => one.rests_on_readings).length;
    const note = resting > 0 && make("p", { class: "quiet" }, word("rests.some", { count: resting }));
    return make("div", { class: "group" }, make("details", { class: name }, make("summary", {}, title), list), note);
  }
  return make("section", { class: `group ${name}` }, make("h3", {}, title), list);
}

/** What is not judged, by the figures that are missing: each once, how the bench finds it, and what hangs on it. */
function missing(all, show) {
  const figures = new Map();
  for (const one of all) {
    for (const figure of one.missing) {
      if (!figures.has(figure.key)) figures.set(figure.key, { ...figure, checks: [] });
      figures.get(figure.key).checks.push({ ...one, holds: figure.holds });
    }
  }
  const told = [...figures.values()].sort((a, b) => hurts(b) - hurts(a));
  const list = make("ul", { class: "findings" }, told.map((one) => make("li", {}, figure(one, show))));
  const title = `${word("group.not_judged")} (${all.length})`;
  return make("section", { class: "group not_judged" }, make("h3", {}, title), list);
}

const hurts = ({ checks }) => Number(checks.some((one) => one.could_hurt));

function figure({ key, bench, said, checks }, show) {
  const check = (one) => {
    const place = word("place", { line: one.line });
    const holds = one.holds && make("span", { class: "quiet" }, ` ${one.holds}`);
    const lead = { type: "button", class: "place", onclick: () => show(one) };
    return make("li", {}, make("button", lead, make("span", { class: "message" }, one.message), make("span", { class: "line" }, place)), holds);
  };
  const facts = [
    [word("figure.find"), make("span", { lang: "en" }, bench)],
    [word("figure.why"), said ? word("figure.said") : word("figure.left_out")],
  ];
  return make(
    "article",
    { class: `finding not_judged${hurts({ checks }) ? " hurts" : ""}` },
    make("p", { class: "figure" }, key.split(".").join(" \u203a ")),
    hurts({ checks }) > 0 && make("p", { class: "hurt" }, word("figure.hurts")),
    make("dl", {}, facts.map(([name, value]) => [make("dt", {}, name), make("dd", {}, value)])),
    make("details", {}, make("summary", {}, word("figure.checks", { count: checks.length })), make("ul", { class: "checks", lang: "en" }, checks.map(check))),
  );
}

function unjudged(keys) {
  const list = make("ul", { class: "wanting" }, keys.map((key) => make("li", { lang: "en" }, key)));
  return make("details", { class: "group" }, make("summary", {}, word("group.wanting")), list);
}

function finding(group, one, show) {
  const { witness, margin } = one;
  const place = word("place", { line: one.line });
  const facts = [
    one.where && [word("where"), one.state ? `${one.where}, ${one.state}` : one.where],
    witness && [
      word("shown_by"),
      `${witness.words}: ${signed(witness.output_percent)} %, ${number(witness.pulse_us)} us`,
    ],
    margin && [
      margin.percent < 0 ? word("off_by") : word("room"),
      `${number(Math.abs(margin.percent))} % (${number(Math.abs(margin.us))} us)`,
    ],
    one.rests_on_readings && [word("rests"), resting(one.rests_on_readings)],
    ...[one.help ?? []].flat().map((help) => [word("help"), help]),
    one.accepted && [word("because"), one.accepted],
  ].filter(Boolean);
  return make(
    "article",
    { class: `finding ${group}` },
    make(
      "button",
      { type: "button", class: "place", onclick: () => show(one) },
      make("span", { class: "message", lang: "en" }, one.message),
      make("span", { class: "line" }, place),
    ),
    facts.length > 0 &&
      make("dl", {}, facts.map(([name, value]) => [make("dt", {}, name), make("dd", { lang: "en" }, value)])),
    one.rule && explained(one.rule),
  );
}

function resting({ coverage_percent: coverage, confidence_percent: confidence, readings_enough: enough }) {
  return enough ? word("rests.for", { coverage, confidence }) : word("rests.too_few");
}

/** The rule's page, fetched from the program when it is asked for. */
function explained(rule) {
  const text = make("pre", { class: "page", lang: "en", tabindex: "0", "aria-label": rule });
  const details = make("details", { class: "explain" }, make("summary", {}, word("explain", { rule })), text);
  details.addEventListener("toggle", async () => {
    if (!details.open || text.textContent) return;
    const { stdout, stderr } = await run(args("explain", { rule }));
    text.textContent = stdout || stderr;
  });
  return details;
}

export const number = (value) => String(Math.round(value * 100) / 100);
export const signed = (value) => (value > 0 ? "+" : "") + number(value);
