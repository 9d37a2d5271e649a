"use strict";
// What a person moves and sees. Words come from the page, figures from the program; `form` adds up.

(() => {
  const told = JSON.parse(document.getElementById("boat").textContent);
  const words = JSON.parse(document.getElementById("words").textContent);
  const boat = form.boat(told);
  const say = words.page;
  const STEP = 100;
  // Keys that are held down: on the sticks as they lie under the hands, buttons by figures.
  const STICK_KEYS = {
    "left stick": { left: "KeyA", right: "KeyD", towards: "KeyS", away: "KeyW" },
    "right stick": { left: "ArrowLeft", right: "ArrowRight", towards: "ArrowDown", away: "ArrowUp" },
  };
  const PATTERN = 20;

  const fill = (text, gaps) => text.replace(/\{(\w+)\}/g, (all, gap) => gaps[gap] ?? all);
  const decimal = (number, places) => number.toFixed(places).replace(/\.?0+$/, "").replace(".", words.decimal);
  const seconds = (number) => fill(words.seconds, { number: decimal(number, number < 10 ? 1 : 0) });
  const at = (id) => document.getElementById(id);
  const make = (name, set = {}, ...inside) => {
    const element = document.createElement(name);
    for (const [key, value] of Object.entries(set)) {
      if (key in element && key !== "role" && key !== "list") element[key] = value;
      else element.setAttribute(key, value);
    }
    element.append(...inside);
    return element;
  };

  // ---- where the hands are ----

  const places = boat.controls.map(({ settings, home, springs_back }) => ({ position: 0, trim: 0, setting: home, rest: 0, springs_back, settings }));
  const moved = [];
  let wanted = false;

  function soon() {
    if (wanted) return;
    wanted = true;
    requestAnimationFrame(() => {
      wanted = false;
      show();
    });
  }

  function put(control, position) {
    places[control].position = Math.max(-STEP, Math.min(STEP, Math.round(position)));
    moved[control]?.();
    soon();
  }

  const spring = (control) => places[control].springs_back && put(control, 0);

  const hand = () => ({
    positions: places.map(({ position, setting, settings }) => (settings.length ? settings[setting].position : form.make(BigInt(position), BigInt(STEP)))),
    trims: places.map(({ trim }, control) => {
      const most = boat.controls[control].trim[trim < 0 ? 0 : 1];
      return form.make(BigInt(trim) * most[0], BigInt(STEP) * most[1]);
    }),
    settings: places.map(({ setting }) => setting),
  });

  // ---- what is played ----

  let play = null;
  const level = { low: 1, high: 1 };

  const effects = boat.devices.flatMap((device, id) => [
    ...device.works.map((work, n) => ({ id, work: n })),
    ...(device.motor ? [{ id, work: null }] : []),
  ]);

  function phase() {
    const began = play.phases.filter(({ begins_s }) => begins_s !== null && begins_s <= play.time);
    return began[began.length - 1] ?? play.phases[0];
  }

  /** The marks of everything now: of each device its works, its motor and what is seen. */
  function now() {
    const at_hand = hand();
    const outs = boat.channels.map((channel) => form.outputs(boat, channel, at_hand));
    const steered = !play || play.cause === "battery" || play.cause === "leak";
    const marks = boat.devices.map((device) => {
      const points = device.channel === null ? (device.within ? [device.within] : null) : outs[device.channel].map((out) => [out, out]);
      const mark = (bands) => (points && bands ? form.mark(bands, points) : "never");
      return {
        out: points && device.channel !== null ? form.number(points[0][0]) : 0,
        known: Boolean(points) && device.channel !== null && steered,
        works: device.works.map(mark),
        motor: device.motor && mark(device.motor),
        effects: device.effects.map((bands) => (bands ? (steered ? mark(bands) : "may") : null)),
      };
    });
    if (play) {
      const told = phase().marks;
      effects.forEach(({ id, work }, n) => {
        if (work === null) marks[id].motor = told[n];
        else marks[id].works[work] = told[n];
      });
      marks.forEach((mark, id) => {
        if (!boat.devices[id].motor) return;
        if (mark.motor === "never") mark.effects = mark.effects.map((effect) => effect && "never");
        else if (mark.motor === "may") mark.effects = mark.effects.map((effect) => effect && "may");
      });
    }
    return marks;
  }

  // ---- the picture ----

  const part = (id) => at(`part-${id}`);

  function draw(marks) {
    marks.forEach((mark, id) => {
      mark.works.forEach((one, n) => at(`work-${id}-${n}`)?.setAttribute("class", `work ${one}`));
      const shape = part(id);
      if (!shape) return;
      const kind = shape.classList[0];
      const device = boat.devices[id];
      const seen = mark.effects.findIndex((one) => one === "surely");
      const perhaps = mark.effects.filter((one) => one === "may").length === 1 || !mark.known;
      shape.setAttribute("class", [...shape.classList].filter((name) => !["surely", "may", "never"].includes(name)).concat(seen >= 0 && mark.known ? "surely" : perhaps ? "may" : "never").join(" "));
      const effect = device.effects[mark.out < 0 ? 0 : 1]?.effect ?? "";
      const far = Math.min(1, Math.abs(mark.known ? mark.out : 0)) * PATTERN;
      if (kind === "plane") {
        // A plane at the bow lifts with its leading edge up, one at the stern with it down.
        const up = /rises$/.test(effect) === shape.classList.contains("bow");
        const of_stern = /^stern/.test(effect) && shape.classList.contains("stern");
        shape.setAttribute("transform", `rotate(${(up !== of_stern ? -1 : 1) * far})`);
      }
      if (kind === "rudder") shape.setAttribute("transform", `rotate(${(/left$/.test(effect) ? 1 : -1) * far * 1.4})`);
      if (kind === "propeller") {
        const runs = device.motor ? mark.motor : seen >= 0 ? "surely" : "never";
        const astern = /astern$/.test(effect);
        shape.setAttribute("class", `propeller ${runs}`);
        const known = runs === "surely" && mark.known;
        at("way").setAttribute("class", `${known ? "surely" : "never"} ${astern ? "astern" : "ahead"}`);
        at("way-word").textContent = known ? (astern ? say.astern : say.ahead) : "";
      }
    });
    const high = 56 * level.high;
    const low = 56 * level.low;
    for (const [id, tall] of [["water", low], ["perhaps-water", high]]) {
      const rect = at(id);
      if (!rect) continue;
      rect.setAttribute("y", String(154 + 56 - tall));
      rect.setAttribute("height", String(tall));
    }
  }

  const OF_MARK = { surely: say.surely, may: say.may, never: say.never };
  const cells = [];

  function list() {
    const body = make("tbody");
    boat.devices.forEach((device, id) => {
      const name = words.devices[id];
      const row = (what, tell) => {
        const cell = make("td");
        body.append(make("tr", {}, make("th", { scope: "row" }, what), cell));
        cells.push((marks) => {
          const [mark, text] = tell(marks[id]);
          if (cell.textContent !== text) cell.textContent = text;
          cell.className = mark;
        });
      };
      name.works.forEach((work, n) => row(work.on, (mark) => [mark.works[n], OF_MARK[mark.works[n]]]));
      if (device.motor) {
        row(name.name, (mark) => {
          const sure = mark.motor === "surely" && mark.known ? mark.effects.findIndex((one) => one === "surely") : -1;
          const text = { surely: say.runs, may: say.runs_may, never: say.stands }[mark.motor];
          return [mark.motor, sure < 0 ? text : `${text}: ${name.effects[sure]}`];
        });
      } else if (device.effects.some(Boolean)) {
        row(name.name, (mark) => {
          if (device.behind !== null && device.behind !== undefined) return ["may", fill(say.by_herself, { name: device.behind.replace(/_/g, " ") })];
          if (!mark.known) return ["may", say.hands_off];
          const some = [0, 1].filter((side) => mark.effects[side] && mark.effects[side] !== "never");
          // Within its tolerance of rest it may lie to either side.
          if (some.length !== 1) return ["never", say.middle];
          if (mark.effects[some[0]] === "surely") return ["surely", name.effects[some[0]]];
          return ["may", `${say.may}: ${name.effects[some[0]]}`];
        });
      }
    });
    at("does").append(
      make("table", {}, make("thead", {}, make("tr", {}, make("th", { scope: "col" }, say.thing), make("th", { scope: "col" }, say.now))), body),
    );
  }

  function show() {
    const marks = now();
    draw(marks);
    cells.forEach((tell) => tell(marks));
    const sure = marks.flatMap((mark, id) => [
      ...mark.works.flatMap((one, n) => (one === "surely" ? [words.devices[id].works[n].on] : [])),
      ...(mark.motor === "surely" ? [`${words.devices[id].name} ${say.runs}`] : []),
    ]);
    at("drawing").setAttribute("aria-label", fill(say.picture, { state: sure.join(", ") || say.middle }));
    showLevel();
    latest = marks;
  }
  let latest = null;

  // ---- the tank ----

  const share = (part) => (part >= 0.995 ? say.full : part <= 0.005 ? say.empty : fill(say.share, { number: decimal(part * 100, 0) }));
  let telling = null;

  function tank() {
    if (!at("tank")) return;
    telling = make("p", { role: "status" });
    const notes = [make("p", { className: "quiet" }, say.unknown_fill)];
    for (const { control, way, soon_s, late_s } of boat.tank?.empties ?? []) {
      const gaps = { way: words.controls[control].ways[way], soon: seconds(soon_s), late: late_s === null ? "" : seconds(late_s) };
      notes.push(make("p", { className: "quiet" }, fill(late_s === null ? say.times_never : say.times, gaps)));
    }
    if (!boat.tank?.empties.length) notes.push(make("p", { className: "quiet" }, say.unknown_empty));
    const begin_with = (text, part) => make("button", { type: "button", onclick: () => ((level.low = part), (level.high = part), soon()) }, text);
    at("tank").append(telling, make("p", { className: "row" }, begin_with(say.fill, 1), begin_with(say.drain, 0)), ...notes);
  }

  function showLevel() {
    if (!telling) return;
    const [low, high] = [share(level.low), share(level.high)];
    const text = low === high ? fill(say.level_one, { low }) : fill(say.level, { low, high });
    if (telling.textContent !== text) telling.textContent = text;
  }

  /** How the level may have moved in a stretch of time, from the times that the program told. */
  function flows(passed) {
    if (!telling || !latest) return;
    const before = `${level.low} ${level.high}`;
    if (play?.run) {
      const left = (way) => 1 - between(way.emptied, play.time);
      if (play.run.nominal.emptied.length) {
        const both = [left(play.run.nominal), left(play.run.worst)];
        [level.low, level.high] = [Math.min(...both), Math.max(...both)];
      }
    } else {
      const of = (key) => boat.devices.flatMap((device, id) => device.works.flatMap((work, n) => (work[key] ? [latest[id].works[n]] : [])));
      const [sinks, raises] = [of("sinks"), of("raises")];
      const empties = boat.tank?.empties ?? [];
      const held = empties.find(({ control, way }) => places[control].position === (way ? STEP : -STEP));
      if (raises.some((mark) => mark !== "never")) {
        const soonest = Math.min(...empties.map(({ soon_s }) => soon_s));
        level.low = Number.isFinite(soonest) ? Math.max(0, level.low - passed / soonest) : 0;
        if (held?.late_s && raises.includes("surely") && !sinks.some((mark) => mark !== "never")) {
          level.high = Math.max(level.low, level.high - passed / held.late_s);
        }
      }
      if (sinks.some((mark) => mark !== "never")) level.high = 1;
    }
    if (before !== `${level.low} ${level.high}`) soon();
  }

  function between(points, time) {
    let before = points[0];
    for (const point of points) {
      if (point[0] > time) {
        const part = (time - before[0]) / (point[0] - before[0] || 1);
        return before[1] + part * (point[1] - before[1]);
      }
      before = point;
    }
    return before?.[1] ?? 0;
  }

  // ---- the hands ----

  function hands() {
    const box = at("hands");
    const pads = new Map();
    const rest = [];
    boat.controls.forEach((control, id) => {
      const of_stick = STICK_KEYS[control.at] && control.kind === "stick";
      if (!of_stick) return rest.push(id);
      pads.set(control.at, [...(pads.get(control.at) ?? []), id]);
    });
    const sticks = make("div", { className: "sticks" });
    for (const [, ids] of [...pads].sort(([a], [b]) => (a < b ? -1 : 1))) sticks.append(pad(ids));
    let figure = 1;
    const others = make("div", { className: "others" });
    for (const id of rest) {
      const control = boat.controls[id];
      if (control.settings.length) others.append(settings(id));
      else if (control.kind === "buttons") others.append(buttons(id, [`Digit${figure++}`, `Digit${figure++}`]));
      else others.append(line(id, null));
    }
    box.append(sticks, others, make("p", { className: "row" }, make("button", { type: "button", onclick: letGo }, say.let_go)));
  }

  function letGo() {
    places.forEach((place, id) => {
      place.trim = 0;
      put(id, 0);
    });
    document.querySelectorAll("#hands input[type=range]").forEach((input) => (input.value = 0));
  }

  const name_of = (id) => {
    const { name, place } = words.controls[id];
    return place ? `${name} (${place})` : name;
  };

  function spoken(id) {
    const { ways } = words.controls[id];
    const { position } = places[id];
    if (!position) return say.rest;
    return fill(say.percent, { way: ways[position < 0 ? 0 : 1], number: Math.abs(position) });
  }

  /** One line of a stick, slider or knob. */
  function line(id, keys) {
    const { ways } = words.controls[id];
    const input = make("input", { type: "range", min: -STEP, max: STEP, step: 1, value: 0, id: `line-${id}` });
    const tell = make("output", { htmlFor: `line-${id}` });
    moved[id] = () => {
      input.value = places[id].position;
      tell.textContent = spoken(id);
      input.setAttribute("aria-valuetext", spoken(id));
    };
    input.addEventListener("input", () => put(id, Number(input.value)));
    input.addEventListener("pointerup", () => spring(id));
    input.addEventListener("pointercancel", () => spring(id));
    input.addEventListener("blur", () => spring(id));
    if (keys) bind(id, keys);
    const block = make(
      "div",
      { className: "line" },
      make("label", { htmlFor: `line-${id}` }, name_of(id)),
      make("p", { className: "ends" }, make("span", {}, ways[0]), tell, make("span", {}, ways[1])),
      input,
    );
    if (keys) block.append(make("p", { className: "quiet" }, fill(say.keys, { low: key(keys[0]), high: key(keys[1]) })));
    if (boat.controls[id].trim.some(([n]) => n !== 0n)) block.append(trim(id));
    moved[id]();
    return block;
  }

  const key = (code) => ({ ArrowLeft: "\u2190", ArrowRight: "\u2192", ArrowUp: "\u2191", ArrowDown: "\u2193" })[code] ?? code.replace(/^Key|^Digit/, "");

  function trim(id) {
    const most = boat.controls[id].trim;
    const input = make("input", { type: "range", min: most[0][0] ? -STEP : 0, max: most[1][0] ? STEP : 0, step: 1, value: 0, className: "trim", id: `trim-${id}` });
    const tell = () => {
      const part = (form.number(most[places[id].trim < 0 ? 0 : 1]) * places[id].trim) / STEP;
      const { ways } = words.controls[id];
      const text = part ? fill(say.percent, { way: ways[part < 0 ? 0 : 1], number: decimal(Math.abs(part) * 100, 1) }) : say.rest;
      input.setAttribute("aria-valuetext", text);
    };
    input.addEventListener("input", () => {
      places[id].trim = Number(input.value);
      tell();
      soon();
    });
    tell();
    return make("div", {}, make("label", { className: "quiet", htmlFor: `trim-${id}` }, fill(say.trim, { control: words.controls[id].name })), input);
  }

  /** The lines of one stick, with a field in which a finger moves both at once. */
  function pad(ids) {
    const across = ids.find((id) => boat.controls[id].line[0] === "left");
    const along = ids.find((id) => boat.controls[id].line[0] === "towards");
    const knob = make("span", { className: "knob" });
    const field = make("div", { className: "pad", "aria-hidden": "true" }, knob);
    const block = make("div", { className: "stick" }, field);
    const keys = STICK_KEYS[boat.controls[ids[0]].at];
    for (const id of ids) block.append(line(id, boat.controls[id].line.map((word) => keys[word])));
    const show = () => {
      knob.style.setProperty("--x", across === undefined ? 0 : places[across].position);
      knob.style.setProperty("--y", along === undefined ? 0 : -places[along].position);
    };
    for (const id of ids) {
      const tell = moved[id];
      moved[id] = () => {
        tell();
        show();
      };
    }
    show();
    const follow = (event) => {
      const box = field.getBoundingClientRect();
      const part = (value, from, length) => ((value - from) / length - 0.5) * 2.5 * STEP;
      if (across !== undefined) put(across, part(event.clientX, box.left, box.width));
      if (along !== undefined) put(along, -part(event.clientY, box.top, box.height));
    };
    field.addEventListener("pointerdown", (event) => {
      field.setPointerCapture(event.pointerId);
      follow(event);
      event.preventDefault();
    });
    field.addEventListener("pointermove", (event) => field.hasPointerCapture(event.pointerId) && follow(event));
    for (const end of ["pointerup", "pointercancel"]) field.addEventListener(end, () => ids.forEach(spring));
    return block;
  }

  const bound = new Map();
  function bind(id, codes) {
    codes.forEach((code, side) => bound.set(code, [id, side ? STEP : -STEP]));
  }

  function buttons(id, codes) {
    const { ways } = words.controls[id];
    const both = ways.map((way, side) => {
      const button = make("button", { type: "button", className: "hold", "aria-pressed": "false" }, way, make("kbd", {}, key(codes[side])));
      const press = (event) => {
        put(id, side ? STEP : -STEP);
        if (event.pointerId !== undefined) button.setPointerCapture(event.pointerId);
      };
      button.addEventListener("pointerdown", press);
      button.addEventListener("keydown", (event) => [" ", "Enter"].includes(event.key) && press(event));
      for (const end of ["pointerup", "pointercancel", "keyup", "blur"]) button.addEventListener(end, () => spring(id));
      button.addEventListener("contextmenu", (event) => event.preventDefault());
      return button;
    });
    moved[id] = () => both.forEach((button, side) => button.setAttribute("aria-pressed", String(places[id].position === (side ? STEP : -STEP))));
    bind(id, codes);
    return make("fieldset", {}, make("legend", {}, name_of(id)), make("div", { className: "row" }, ...both));
  }

  function settings(id) {
    const all = words.controls[id].settings.map((text, n) => {
      const radio = make("input", { type: "radio", name: `switch-${id}`, checked: n === boat.controls[id].home });
      radio.addEventListener("change", () => {
        places[id].setting = n;
        soon();
      });
      return make("label", {}, radio, ` ${text}`);
    });
    return make("fieldset", {}, make("legend", {}, name_of(id)), make("div", { className: "row" }, ...all));
  }

  function keyboard() {
    const aimed = (event) => {
      const found = bound.get(event.code);
      const busy = event.ctrlKey || event.metaKey || event.altKey || event.target.closest?.("input, select, summary");
      return busy ? null : found;
    };
    addEventListener("keydown", (event) => {
      const found = aimed(event);
      if (!found) return;
      event.preventDefault();
      if (!event.repeat) put(...found);
    });
    addEventListener("keyup", (event) => {
      const found = bound.get(event.code);
      if (found && places[found[0]].position === found[1]) spring(found[0]);
    });
    addEventListener("blur", () => places.forEach((_, id) => spring(id)));
  }

  // ---- what she does by herself ----

  function choice(legend, name, texts) {
    const radios = texts.map((text, n) => make("label", {}, make("input", { type: "radio", name, value: n, checked: n === 0 }), ` ${text}`));
    return make("fieldset", {}, make("legend", {}, legend), make("div", { className: "row" }, ...radios));
  }
  const chosen = (name) => Number(document.querySelector(`input[name=${name}]:checked`)?.value ?? 0);

  let moments = null;
  let held = [];

  function alone() {
    const box = at("alone");
    const first = boat.plays.find(({ runs }) => runs.length > 1);
    held = first?.runs.map(({ held }) => held) ?? [null];
    if (words.dives) box.append(choice(say.where, "where", [say.under, say.surface]));
    if (held.length > 1) {
      box.append(choice(say.hands, "held", held.map((one) => (one ? fill(say.hands_held, { way: words.controls[one[0]].ways[one[1]] }) : say.hands_rest))));
    }
    const row = make("p", { className: "row" });
    for (const one of boat.plays) row.append(make("button", { type: "button", value: one.cause, onclick: () => begin(one.cause) }, words.causes[one.cause]));
    row.append(make("button", { type: "button", id: "stop", onclick: stop, hidden: true }, say.stop));
    moments = make("div", { id: "moments" });
    box.append(row, moments);
  }

  function begin(cause, quietly = false) {
    const one = boat.plays.find((play) => play.cause === cause);
    if (one.untold.length) {
      stop();
      moments.replaceChildren(make("p", { className: "quiet" }, fill(say.untold, { keys: one.untold.join(", ") })));
      return;
    }
    const under = words.dives && chosen("where") === 0;
    const hold = held[chosen("held")] ?? null;
    const run = under ? one.runs.find((run) => JSON.stringify(run.held) === JSON.stringify(hold)) ?? one.runs[0] ?? null : null;
    play = { cause, phases: one.phases, run, time: 0, began: performance.now(), under, quietly };
    if (words.dives) level.low = level.high = under ? 1 : 0;
    const hands = run?.held ? fill(say.hands_held, { way: words.controls[run.held[0]].ways[run.held[1]] }) : say.hands_rest;
    play.text = one.runs.length && words.dives
      ? fill(say.played, { cause: words.causes[cause], where: under ? say.under : say.surface, hands })
      : fill(say.played_bare, { cause: words.causes[cause] });
    at("stop").hidden = false;
    document.querySelectorAll("#alone button[value]").forEach((button) => button.setAttribute("aria-pressed", String(!quietly && button.value === cause)));
    tick();
    soon();
  }

  function stop() {
    play = null;
    at("stop").hidden = true;
    at("playing").textContent = "";
    moments.replaceChildren();
    document.querySelectorAll("#alone button[value]").forEach((button) => button.setAttribute("aria-pressed", "false"));
    soon();
  }

  const times = ({ nominal_s, worst_s }) => {
    if (nominal_s === null) return fill(say.at_worst_only, { late: seconds(worst_s) });
    if (worst_s === null) return fill(say.at_best_only, { soon: seconds(nominal_s) });
    return fill(say.at, { soon: seconds(nominal_s), late: seconds(worst_s) });
  };

  function outcome() {
    const { run } = play;
    if (!run) return words.dives && !play.under ? say.lying : "";
    const [best, worst] = [run.nominal, run.worst];
    if (best.comes_up === null) return say.unknown;
    if (!best.comes_up) return say.stays;
    if (!worst.comes_up) return fill(say.up_perhaps, { soon: seconds(best.surfaced_s) });
    return fill(say.up, { soon: seconds(best.surfaced_s), late: seconds(worst.surfaced_s) });
  }

  function ends() {
    const last = Math.max(...play.phases.map(({ begins_s }) => begins_s ?? 0));
    const { run } = play;
    const known = run ? [run.nominal, run.worst].map(({ ends_s }) => ends_s ?? 0) : [];
    return Math.max(last, ...known) + 3;
  }

  function tick() {
    const { kind, stage } = phase();
    const name = fill(words.phases[kind] ?? "", { stage: stage ?? "" });
    const over = play.time >= ends();
    const text = [play.quietly ? "" : play.text, fill(say.time, { time: seconds(Math.min(play.time, ends())) }), name].filter(Boolean).join(" \u00b7 ");
    if (at("playing").textContent !== text) at("playing").textContent = text;
    const so_far = (play.run?.moments ?? []).filter(({ nominal_s, worst_s }) => (nominal_s ?? worst_s) <= play.time);
    const count = `${so_far.length} ${over}`;
    if (moments.dataset.count === count && moments.dataset.play === play.text) return;
    moments.dataset.count = count;
    moments.dataset.play = play.text;
    const item = (moment) => {
      const key = moment.passing ? "passing" : moment.what;
      return make("li", {}, `${times(moment)}: ${fill(words.moments[key] ?? moment.what, { name: (moment.name ?? "").replace(/_/g, " ") })}`);
    };
    const parts = [make("ol", {}, ...so_far.map(item))];
    if (!play.quietly && outcome()) parts.push(make("p", { className: "outcome" }, outcome()));
    if (over) parts.push(make("p", { className: "quiet" }, say.ended));
    moments.replaceChildren(...parts);
  }

  // ---- drills ----

  function drills() {
    const box = at("drills");
    const told = make("div", { role: "status" });
    const alarm = boat.plays.find(({ cause }) => cause === "leak" || cause === "battery");
    const all = [[say.silent, "loss"], ...(alarm ? [[say.alarm, alarm.cause]] : []), [say.dead, "unpowered"]];
    const row = make("p", { className: "row" });
    for (const [what, cause] of all) {
      const ask = () => {
        begin(cause, true);
        const look = make("button", { type: "button", onclick: () => answer(told, cause) }, say.look);
        told.replaceChildren(make("p", {}, fill(say.ask, { what })), look);
      };
      row.append(make("button", { type: "button", onclick: ask }, what));
    }
    box.append(row, told);
  }

  function answer(told, cause) {
    const acts = cause !== "unpowered" && words.steps.length > 0;
    const steps = make("ul", { className: "steps" }, ...words.steps.map((step) => make("li", {}, step)));
    const done = make("button", { type: "button", onclick: () => (told.replaceChildren(), stop()) }, say.done);
    told.replaceChildren(...(acts ? [make("p", {}, make("strong", {}, say.steps)), steps, make("p", {}, say.wait)] : [make("p", {}, say.fetch)]), done);
    play = play && { ...play, quietly: false };
    if (play) tick();
  }

  // ---- begin ----

  at("no-scripts").hidden = true;
  at("playground").hidden = false;
  list();
  tank();
  hands();
  alone();
  drills();
  keyboard();
  show();
  let before = performance.now();
  setInterval(() => {
    const time = performance.now();
    const passed = (time - before) / 1000;
    before = time;
    if (play) {
      play.time = Math.min((time - play.began) / 1000, ends());
      tick();
      soon();
    }
    flows(passed);
  }, 100);
})();
