"use strict";
// Adds up what a channel sends and holds it against zones, in fractions: nothing is rounded, nothing is judged.
// Fractions are pairs of whole numbers, the second above nought, without a common divisor.

const form = (() => {
  const divisor = (a, b) => {
    while (b) [a, b] = [b, a % b];
    return a < 0n ? -a : a;
  };
  const make = (n, d) => {
    if (d < 0n) [n, d] = [-n, -d];
    const common = divisor(n, d) || 1n;
    return [n / common, d / common];
  };
  const read = (text) => {
    const [n, d = "1"] = text.split("/");
    return make(BigInt(n), BigInt(d));
  };
  const written = ([n, d]) => (d === 1n ? `${n}` : `${n}/${d}`);
  const add = ([a, b], [c, d]) => make(a * d + c * b, b * d);
  const sub = ([a, b], [c, d]) => make(a * d - c * b, b * d);
  const mul = ([a, b], [c, d]) => make(a * c, b * d);
  const div = ([a, b], [c, d]) => make(a * d, b * c);
  const less = ([a, b], [c, d]) => a * d < c * b;
  const clamp = (value, low, high) => (less(value, low) ? low : less(high, value) ? high : value);
  const NOUGHT = [0n, 1n];
  const ONE = [1n, 1n];
  const minus = ([n, d]) => [-n, d];
  const number = ([n, d]) => Number((n * 1000000n) / d) / 1e6;

  /** A sum with one curve and one factor of the trim for each control. */
  const sum = (terms, hand) =>
    terms.reduce((all, { control, low, high, trim }) => {
      const at = hand.positions[control];
      const [linear, cubic] = at[0] < 0n ? low : high;
      const curve = mul(at, add(linear, mul(cubic, mul(at, at))));
      return add(all, add(curve, mul(trim, hand.trims[control])));
    }, NOUGHT);

  const endpoint = (shape, value) => {
    const in_reach = shape.cut_off ? clamp(value, minus(ONE), ONE) : value;
    if (!shape.scales) return clamp(in_reach, minus(shape.ends[0]), shape.ends[1]);
    return mul(in_reach, shape.ends[in_reach[0] < 0n ? 0 : 1]);
  };

  /** The pulse of a position on one axis, as a position on another. */
  const onto = ([[shorter, rest, longer], own], position) => {
    const pulse = add(rest, mul(position, position[0] < 0n ? sub(rest, shorter) : sub(longer, rest)));
    const away = sub(pulse, own[1]);
    return div(away, away[0] < 0n ? sub(own[1], own[0]) : sub(own[2], own[1]));
  };

  const sent = (shape, [before, behind], hand) => {
    const value = add(endpoint(shape, sum(before, hand)), sum(behind, hand));
    const unlimited = shape.sense < 0 ? sub(shape.sub_trim, value) : add(shape.sub_trim, value);
    const limited = clamp(unlimited, ...shape.limits);
    return shape.axes ? onto(shape.axes, limited) : limited;
  };

  /** Every output that a channel may have with the hands where they are, one for each way of reckoning. */
  const outputs = (boat, channel, hand) => {
    const { switches, sums, shapes, cases } = channel;
    const place = switches.reduce((at, control) => at * (boat.controls[control].settings.length || 1) + hand.settings[control], 0);
    return cases.map(([list, shape]) => sent(shapes[shape], sums[list][place], hand));
  };

  /** Whether a stretch of outputs meets a zone. */
  const meets = ({ low, high, closed }, least, greatest) => {
    if (low && high && less(high, low)) return false;
    const under = low && (closed ? less(greatest, low) : !less(low, greatest));
    const over = high && (closed ? less(high, least) : !less(least, high));
    return !under && !over;
  };

  /** `surely`, `may` or `never`, for stretches of outputs. */
  const mark = ({ may, may_not }, stretches) => {
    const any = (zones) => zones.some((zone) => stretches.some(([least, greatest]) => meets(zone, least, greatest)));
    if (!any(may)) return "never";
    return any(may_not) ? "may" : "surely";
  };

  const zone = ({ low, high, closed }) => ({ low: low === null ? null : read(low), high: high === null ? null : read(high), closed });
  const zones = (bands) => bands && { ...bands, may: bands.may.map(zone), may_not: bands.may_not.map(zone) };

  /** A boat as the program told her, her fractions read. */
  const boat = (told) => ({
    ...told,
    controls: told.controls.map((control) => ({
      ...control,
      trim: control.trim.map(read),
      settings: control.settings.map(({ name, position }) => ({ name, position: read(position) })),
    })),
    channels: told.channels.map((channel) => ({
      ...channel,
      sums: channel.sums.map((list) =>
        list.map((pair) =>
          pair.map((terms) =>
            terms.map(({ control, low, high, trim }) => ({ control, low: low.map(read), high: high.map(read), trim: read(trim) })),
          ),
        ),
      ),
      shapes: channel.shapes.map((shape) => ({
        ...shape,
        ends: shape.ends.map(read),
        sub_trim: read(shape.sub_trim),
        limits: shape.limits.map(read),
        axes: shape.axes && shape.axes.map((axis) => axis.map(read)),
      })),
    })),
    devices: told.devices.map((device) => ({
      ...device,
      within: device.within && device.within.map(read),
      works: device.works.map(zones),
      motor: zones(device.motor),
      effects: device.effects.map(zones),
    })),
  });

  return { read, written, make, boat, outputs, mark, less, number };
})();
