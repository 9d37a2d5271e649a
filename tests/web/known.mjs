// What every browser of the floor has, by MDN's browser-compat-data (the package of the same name), and what of a
// script, a style sheet or a page it has not.

import { createRequire } from "node:module";
import { resolve } from "node:path";

const packages = createRequire(resolve("desk/package.json"));
const data = packages("@mdn/browser-compat-data");
const acorn = packages("acorn");
const walk = packages("acorn-walk");
const css = packages("css-tree");
export const { floor: FLOOR } = packages("./package.json");

const number = (version) => parseFloat(version.replace("\u2264", ""));

/** Whether one browser has something without a switch, a prefix or half of it missing. */
function had(support, version) {
  return [support ?? []].flat().some(
    ({ version_added, version_removed, flags, prefix, alternative_name, partial_implementation }) =>
      !flags && !prefix && !alternative_name && !partial_implementation &&
      typeof version_added === "string" && number(version_added) <= version &&
      !(typeof version_removed === "string" && number(version_removed) <= version),
  );
}

const has = ({ __compat }) => Object.entries(FLOOR).every(([browser, version]) => had(__compat.support[browser], version));
const known = (feature) => feature?.__compat !== undefined;
const lacking = (feature) => known(feature) && !has(feature);

// ---- scripts ----

const put = (map, name, feature) => map.set(name, [...(map.get(name) ?? []), feature]);
const [members, events, globals] = [new Map(), new Map(), new Map()];
for (const [name, face] of Object.entries(data.api)) {
  if (known(face)) put(globals, name, face);
  for (const [member, feature] of Object.entries(face)) {
    if (member === "__compat" || member === name || !known(feature)) continue;
    if (member.endsWith("_event")) put(events, member.slice(0, -6), feature);
    else put(members, member.replace(/_static$/, ""), feature);
    if (/^(Window|.*GlobalScope)$/.test(name)) put(globals, member, feature);
  }
}
function builtIn(level, outermost) {
  for (const [name, feature] of Object.entries(level)) {
    if (name === "__compat") continue;
    if (known(feature)) put(outermost ? globals : members, name, feature);
    builtIn(feature, false);
  }
}
builtIn(data.javascript.builtins, true);

const none = (features) => features !== undefined && !features.some(has);
// Which kind of thing some names of the window stand for.
const STANDS_FOR = { navigator: "Navigator", document: "Document", crypto: "Crypto", performance: "Performance", localStorage: "Storage", location: "Location", history: "History" };

/** A member of something that is known by its name; undefined where the data have no such thing. */
function exactly(object, member) {
  const kinds = [data.javascript.builtins[object], data.api[object], data.api[STANDS_FOR[object]]];
  return kinds.flatMap((kind) => [kind?.[`${member}_static`], kind?.[member]]).find(known);
}

const ITERATORS = ["values", "keys", "entries", "matchAll"];
const words = (node) => (node?.type === "Literal" && typeof node.value === "string" ? node.value : null);
const kebab = (name) => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
const named = ({ key, computed }) => (computed ? null : String(key.name ?? key.value));

/** Whether the last of a row of nodes, each within the one before, is looked at for whether it is there. */
function asks(row) {
  let at = row.length - 1;
  const parent = row[at - 1] ?? {};
  if (parent.optional && [parent.callee, parent.object].includes(row[at])) return true;
  if (parent.type === "UnaryExpression" && ["typeof", "!"].includes(parent.operator)) return true;
  if (parent.type === "LogicalExpression" && parent.left === row[at]) return true;
  while (row[at - 1]?.type === "LogicalExpression") at -= 1;
  return ["IfStatement", "ConditionalExpression"].includes(row[at - 1]?.type) && row[at - 1].test === row[at];
}

/** Everything in a script that the floor has not: what it is, and whether it is asked for before it is used. */
export function inScript(text, sourceType = "script") {
  let tree;
  try {
    // Held against the data below: all that this edition brought is there.
    tree = acorn.parse(text, { ecmaVersion: 2022, sourceType });
  } catch (error) {
    return [{ what: `syntax: ${error.message}`, asked: false }];
  }
  const [declared, modules, own, asked, found] = [new Set(), new Set(), new Set(), new Set(), []];
  const miss = (name, what = name) => found.push({ name, what });
  walk.full(tree, (node, _, type) => {
    if (type === "VariablePattern") declared.add(node.name);
    if (/^(Function|Class)/.test(node.type) && node.id) declared.add(node.id.name);
    if (/^Import.*Specifier$/.test(node.type)) declared.add(node.local.name);
    if (node.type === "ImportNamespaceSpecifier") modules.add(node.local.name);
    if (["Property", "MethodDefinition", "PropertyDefinition"].includes(node.type)) own.add(named(node));
    if (node.type === "AssignmentExpression" && node.left.type === "MemberExpression") own.add(node.left.property.name);
    if (node.type === "BinaryExpression" && node.operator === "in") asked.add(words(node.left));
    // Long texts may be scripts of their own: that of a worker.
    const inner = words(node);
    if (inner?.length > 2000 && /[;{}]/.test(inner)) {
      try {
        acorn.parse(inner, { ecmaVersion: "latest" });
      } catch {
        return;
      }
      found.push(...inScript(inner).map((one) => ({ ...one, settled: true })));
    }
  });
  const free = (node) => node.type === "Identifier" && !declared.has(node.name);
  walk.fullAncestor(tree, (node, ancestors) => {
    const name = node.type === "MemberExpression" ? (node.computed ? words(node.property) : node.property.name) : node.name;
    if (asks(ancestors)) asked.add(name);
    if (node.type === "Identifier" && free(node) && none(globals.get(name))) miss(name);
    if (node.type === "MemberExpression" && name) inMember(node, name);
    if (node.type === "CallExpression") inCall(node);
    if (node.type === "Property" && words(node.value) !== null && named(node)) {
      const property = kebab(named(node));
      if (known(data.css.properties[property])) {
        for (const what of inStyle(`x { ${property}: ${words(node.value)} }`)) miss(what);
      }
    }
  });
  function inMember({ object, computed }, name) {
    const feature = free(object) ? exactly(object.name, name) : undefined;
    if (feature) return has(feature) || miss(name, `${object.name}.${name}`);
    const iterates =
      object.type === "CallExpression" && ITERATORS.includes(object.callee.property?.name) && object.callee.object.name !== "Object";
    if (iterates && lacking(data.javascript.builtins.Iterator[name])) return miss(name, `${name} of an iterator`);
    return own.has(name) || modules.has(object.name) || computed || !none(members.get(name)) || miss(name, `.${name}`);
  }
  function inCall({ callee, arguments: [first, second] }) {
    const [called, word] = [callee.property?.name ?? callee.name, words(first)];
    if (word === null) return;
    if (called === "addEventListener" && none(events.get(word))) miss(word, `event ${word}`);
    if (second?.type === "ObjectExpression" && known(data.html.elements[word])) {
      for (const property of second.properties) {
        const attribute = property.type === "Property" && named(property);
        if (attribute && !has_attribute(word, attribute)) miss(attribute, `${word} with ${attribute}`);
      }
    }
  }
  const unique = new Map(found.map((one) => [one.what, one.settled ? one : { ...one, asked: asked.has(one.name) }]));
  return [...unique.values()].map(({ what, asked }) => ({ what, asked }));
}

/** Whether all that the edition of the language brought which scripts are read with is in the floor. */
export function edition() {
  const { classes, operators, regular_expressions, builtins } = data.javascript;
  const brought = {
    "fields of a class": classes.public_class_fields,
    "private fields": classes.private_class_fields,
    "private methods": classes.private_class_methods,
    "private names asked for": classes.private_class_fields_in,
    "static blocks": classes.static.initialization_blocks ?? classes.static_initialization_blocks,
    "await outside of functions": operators.await.top_level,
    "at()": builtins.Array.at,
    "behind in a pattern": regular_expressions.lookbehind_assertion,
  };
  return Object.entries(brought).filter(([, feature]) => !known(feature) || !has(feature)).map(([what]) => what);
}

// ---- looks ----

const UNITS = [[/^dv/, "dynamic"], [/^sv/, "small"], [/^lv/, "large"]];
function unit(name) {
  const { length } = data.css.types;
  const [, size] = UNITS.find(([begins]) => begins.test(name)) ?? [];
  if (size) return length[`viewport_percentage_units_${size}`];
  return name.startsWith("cq") ? length.container_query_length_units : length[name];
}

/** A function or a word within a property: its own entry, else that of the kind of value. */
function value(property, name) {
  const own = data.css.properties[property];
  return [own?.[name], own?.[`${name}_function`], data.css.types[name], ...Object.values(data.css.types).map((kind) => kind[name])].find(known);
}

/** Everything in a style sheet that the floor has not. */
export function inStyle(text) {
  const found = new Set();
  const need = (feature, what) => {
    if (!known(feature)) found.add(`not in the data: ${what}`);
    else if (!has(feature)) found.add(what);
  };
  const trouble = [];
  const tree = css.parse(text, { onParseError: ({ message }) => trouble.push(message) });
  trouble.forEach((message) => found.add(`cannot be read: ${message}`));
  let rules = 0;
  css.walk(tree, {
    enter(node) {
      const name = typeof node.name === "string" ? node.name.toLowerCase() : "";
      if (node.type === "Atrule") need(data.css["at-rules"][name], `@${name}`);
      if (node.type === "Feature") need(data.css["at-rules"].media[name.replace(/^(min|max)-/, "")], `@media ${name}`);
      if (node.type === "FeatureRange") need(data.css["at-rules"].media.range_syntax, "a range of @media");
      if (node.type === "Rule" && (rules += 1) > 1) need(data.css.selectors.nesting, "a rule in a rule");
      if (/^Pseudo(Class|Element)Selector$/.test(node.type) && !name.startsWith("-")) need(data.css.selectors[name], `:${name}`);
      if (node.type === "NestingSelector") need(data.css.selectors.nesting, "&");
      if (node.type === "Dimension" && lacking(unit(node.unit.toLowerCase()))) found.add(`unit ${node.unit}`);
      if (node.type === "Declaration" && !/^-/.test(node.property)) need(data.css.properties[node.property], node.property);
      const { property } = this.declaration ?? {};
      // A list of families is made to be gone down until there is one.
      if (property && property !== "font-family" && ["Identifier", "Function"].includes(node.type)) {
        if (lacking(value(property, name))) found.add(`${property}: ${name}`);
      }
    },
    leave(node) {
      if (node.type === "Rule") rules -= 1;
    },
  });
  return [...found];
}

// ---- pages ----

function has_attribute(tag, name) {
  const features = [data.html.elements[tag]?.[name], data.html.global_attributes[name]].filter(known);
  return features.length === 0 || features.some(has);
}

/** Everything in the tags of a page that the floor has not. */
export function inTags(page) {
  const bare = page.replace(/<!--.*?-->/gs, "").replace(/(<(script|style)\b[^>]*>).*?<\/\2>/gs, "$1");
  const found = new Set();
  for (const [, tag, attributes] of bare.matchAll(/<([a-z][\w-]*)((?:\s+[\w:-]+(?:\s*=\s*(?:"[^"]*"|'[^']*'|[^\s"'>]+))?)*)/gi)) {
    const element = data.html.elements[tag.toLowerCase()] ?? data.svg.elements[tag];
    if (!known(element)) found.add(`not in the data: <${tag}>`);
    else if (!has(element)) found.add(`<${tag}>`);
    for (const [, name, , said] of attributes.matchAll(/([\w:-]+)(\s*=\s*"([^"]*)")?/g)) {
      if (!has_attribute(tag, name)) found.add(`<${tag} ${name}>`);
      if (name === "type" && lacking(data.html.elements[tag]?.[`type_${said}`])) found.add(`<${tag} type=${said}>`);
    }
  }
  return [...found];
}
