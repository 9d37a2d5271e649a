// Each channel: its endpoints with the windows that the program found safe, and the axis of each device on it.
// Everything drawn here is what the program said; nothing is computed but where it lies on the screen.

import { make } from "./dom.js";
import { number, signed } from "./findings.js";
import { word } from "./words.js";

const keyed = (way) => `${way.channel} ${way.way}`;

/** Where the values of the ways stand in the text. */
export const places = (data) => data.ways.filter((way) => way.place).map((way) => [keyed(way), way.place]);

/** Draws all; `dial` puts a value where that of a way stands in the text. While one is dragged it stays the same element. */
export function draw(holder, data, dial) {
  const channels = [...new Set([...data.ways.map((way) => way.channel), ...data.axes.map((axis) => axis.channel)])];
  const blocks = channels
    .sort((one, other) => (one ?? 99) - (other ?? 99))
    .map((channel) => {
      const ways = data.ways.filter((way) => way.channel === channel);
      const axes = data.axes.filter((axis) => axis.channel === channel);
      const named = ways.find((way) => way.name)?.name;
      const title = channel === null ? word("no_channel") : word("channel", { number: channel });
      return {
        key: `channel ${channel}`,
        make: () =>
          make("section", { class: "channel" }, make("h3", {}, title), make("div", { class: "ways" }), make("div")),
        fill: (element) => {
          const [heading, forWays, forAxes] = element.children;
          heading.textContent = named ? `${title}: ${named}` : title;
          settle(forWays, ways.map((one) => wayBlock(one, dial)));
          forAxes.replaceChildren(...axes.map(axis));
        },
      };
    });
  settle(holder, blocks);
}

/** Keeps the elements that are there already, so that the one in somebody's hand is not taken away. */
function settle(holder, blocks) {
  const there = new Map([...holder.children].map((child) => [child.dataset.key, child]));
  const elements = blocks.map((block) => {
    const element = there.get(block.key) ?? block.make();
    element.dataset.key = block.key;
    block.fill(element);
    return element;
  });
  if (elements.length !== holder.children.length || elements.some((one, n) => holder.children[n] !== one)) {
    holder.replaceChildren(...elements);
  }
}

function wayBlock(way, dial) {
  const most = Math.max(125, Math.ceil(way.set), ...way.windows.flat());
  return {
    key: keyed(way),
    make: () => {
      const element = make("div", { class: "way", role: "group" });
      const turn = (event) => {
        const { value } = event.target;
        if (value !== "" && Number.isFinite(Number(value))) element.dial(`${Number(value)} %`);
      };
      element.append(
        make("label", {}, make("span", {}, ""), make("input", { type: "number", min: 0, step: 1, oninput: turn }), "%"),
        make("div", { class: "slide" }, make("div", { class: "window" }), make("input", { type: "range", min: 0, step: 1, oninput: turn })),
        make("p", { class: "safe" }),
      );
      return element;
    },
    fill: (element) => {
      const [label, slide, safe] = element.children;
      const [windows, slider] = slide.children;
      const field = label.children[1];
      element.dial = (text) => dial(keyed(way), text);
      element.setAttribute("aria-label", way.way);
      label.children[0].textContent = way.way;
      slider.setAttribute("aria-label", word("slider", { way: way.way }));
      for (const input of [field, slider]) {
        input.max = most;
        input.disabled = !way.place;
        if (Number(input.value) !== way.set || input.value === "") input.value = way.set;
      }
      windows.replaceChildren(strip([0, most], way.windows.map((window) => ["safe", window]), [
        ["set", way.set],
        ...(way.best === null ? [] : [["best", way.best]]),
      ]));
      safe.replaceChildren(...verdict(way, dial));
      element.dataset.as = way.as_set;
    },
  };
}

function verdict(way, dial) {
  const said = [];
  if (way.as_set === "not judged") {
    said.push(make("strong", {}, word("as_set.not_judged")));
  } else if (way.windows.length) {
    const windows = way.windows.map(([low, high]) => word("from_to", { low: number(low), high: number(high) }));
    said.push(make("strong", {}, word(`as_set.${way.as_set.replace(" ", "_")}`, { windows: windows.join(", ") })));
    said.push(make("span", {}, limits(way)));
  } else {
    said.push(make("strong", {}, word("no_window")));
  }
  for (const line of [way.crossing, ...way.but, ...way.not_moved.map((rule) => word("not_moved", { rule }))]) {
    if (line) said.push(make("span", { lang: "en" }, line));
  }
  if (way.best !== null && way.place && way.best !== way.set) {
    const text = word("take_best", { best: number(way.best) });
    said.push(make("button", { type: "button", onclick: () => dial(keyed(way), `${way.best} %`) }, text));
  }
  return said;
}

/** What limits a window: the page's words around the program's, which are English. */
function limits({ low_limit: low, high_limit: high }) {
  const told = { low, high };
  const parts = word("limits", { low: "\0low\0", high: "\0high\0" }).split("\0");
  return parts.map((part) => (part in told ? make("span", { lang: "en" }, told[part]) : part));
}

function axis(one) {
  const { half } = one;
  const sides = [
    one.ways[0] ? word("shorter_way", { way: one.ways[0] }) : word("shorter"),
    one.ways[1] ? word("longer_way", { way: one.ways[1] }) : word("longer"),
  ];
  return make(
    "figure",
    { class: "axis" },
    make("figcaption", {}, make("b", {}, one.device), " ", make("span", { lang: "en" }, one.about)),
    make("div", { class: "sides" }, make("span", {}, `\u2039 ${sides[0]}`), make("span", {}, `${sides[1]} \u203a`)),
    make("div", { class: "scale", "aria-hidden": "true" }, ticks(half)),
    make("ul", { class: "lanes" }, one.lanes.map((lane) => laneRow(lane, half))),
  );
}

function ticks(half) {
  const step = half > 200 ? half / 2 : 50;
  const all = [];
  for (let at = -Math.floor(half / step) * step; at <= half; at += step) {
    const tick = make("span", {}, signed(at));
    tick.style.left = `${((at + half) / (2 * half)) * 100}%`;
    all.push(tick);
  }
  return all;
}

function laneRow(lane, half) {
  const name = lane.shows === "work" ? lane.work : word(`lane.${lane.shows.replace(" ", "_")}`);
  const kind = lane.emergency ? "emergency" : lane.shows.replace(" ", "-");
  const stretches = [
    ...lane.perhaps.map((stretch) => ["perhaps", stretch]),
    ...lane.surely.map((stretch) => ["surely", stretch]),
  ];
  const about = lane.about ? { title: lane.about } : {};
  return make(
    "li",
    { class: `lane ${kind}`, ...about },
    make("span", { class: "name" }, name),
    strip([-half, half], stretches, [["rest", 0], ...lane.marks.map((mark) => ["end", mark])]),
    make("span", { class: "value" }, `${lane.value} %`),
  );
}

/** Stretches and marks on a line from one number to another. */
function strip([low, high], stretches, marks) {
  const x = (value) => ((Math.min(Math.max(value, low), high) - low) / (high - low)) * 1000;
  return make(
    "svg",
    { class: "strip", viewBox: "0 0 1000 20", preserveAspectRatio: "none", "aria-hidden": "true" },
    make("line", { class: "base", x1: 0, x2: 1000, y1: 10, y2: 10 }),
    stretches.map(([kind, [from, to]]) =>
      make("rect", { class: kind, x: x(from), width: Math.max(x(to) - x(from), 2), y: 3, height: 14 }),
    ),
    marks.map(([kind, value]) => make("line", { class: kind, x1: x(value), x2: x(value), y1: 0, y2: 20 })),
  );
}
