// The keys that may stand at a place, from the program's own description of the boat file.

let schema;

/** Takes the description, as `lidcard schema` prints it. */
export function know(text) {
  schema = JSON.parse(text);
}

/** Completions for the editor: the keys of the mapping in which the cursor stands. */
export function completions(context) {
  const line = context.state.doc.lineAt(context.pos);
  const before = line.text.slice(0, context.pos - line.from);
  const typed = /^(\s*)(\w*)$/.exec(before);
  if (!schema || !typed || (!context.explicit && !typed[2])) return null;
  const shape = within(path(context.state.doc, line.number, typed[1].length));
  if (!shape) return null;
  const options = Object.entries(shape.properties ?? {}).map(([label, about]) => ({
    label,
    apply: `${label}: `,
    info: resolved(about).description ?? about.description,
  }));
  return options.length ? { from: context.pos - typed[2].length, options } : null;
}

/** The keys above a line that is indented so far, outermost first. */
function path(doc, number, indent) {
  const keys = [];
  let deep = indent;
  for (let above = number - 1; above > 0 && deep > 0; above -= 1) {
    const found = /^(\s*)([^\s#:][^:]*):\s*(#.*)?$/.exec(doc.line(above).text);
    if (found && found[1].length < deep) {
      keys.unshift(found[2].trim());
      deep = found[1].length;
    }
  }
  return keys;
}

function within(keys) {
  let shape = schema;
  for (const key of keys) {
    const here = shapes(shape);
    const next = here.map((one) => one.properties?.[key]).find(Boolean) ?? here.map(other).find(Boolean);
    if (!next) return null;
    shape = next;
  }
  return shapes(shape).find((one) => one.properties) ?? null;
}

function other(shape) {
  const patterns = Object.values(shape.patternProperties ?? {})[0];
  return typeof shape.additionalProperties === "object" ? shape.additionalProperties : patterns;
}

function resolved(shape) {
  const named = /^#\/(.*)$/.exec(shape.$ref ?? "");
  return named ? named[1].split("/").reduce((at, key) => at[key], schema) : shape;
}

function shapes(shape) {
  const one = resolved(shape);
  return [one, ...(one.anyOf ?? one.oneOf ?? one.allOf ?? []).flatMap(shapes)];
}
