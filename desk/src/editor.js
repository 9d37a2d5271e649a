// The text of the boat, with what was found underlined where it is.

import { autocompletion, completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap, redo, undo } from "@codemirror/commands";
import { yaml } from "@codemirror/lang-yaml";
import { bracketMatching, HighlightStyle, syntaxHighlighting } from "@codemirror/language";
import { lintKeymap, setDiagnostics } from "@codemirror/lint";
import { highlightSelectionMatches, searchKeymap } from "@codemirror/search";
import { Annotation, Compartment, EditorState } from "@codemirror/state";
import { drawSelection, EditorView, highlightActiveLine, keymap, lineNumbers } from "@codemirror/view";
import { tags } from "@lezer/highlight";
import { completions } from "./keys.js";
import { range } from "./places.js";

const opened = Annotation.define();
const name = new Compartment();
// Where values stand that are dialled elsewhere on the page, moved along with what is typed before them.
let tracked = new Map();
let label = "";
let view;

const look = EditorView.theme({
  "&": { height: "100%", color: "var(--ink)", backgroundColor: "var(--paper)", fontSize: "0.875rem" },
  "&.cm-focused": { outline: "2px solid var(--focus)", outlineOffset: "-2px" },
  ".cm-scroller": { fontFamily: "ui-monospace, 'DejaVu Sans Mono', Menlo, Consolas, monospace", lineHeight: "1.55" },
  ".cm-content": { caretColor: "var(--ink)" },
  ".cm-cursor": { borderLeftColor: "var(--ink)" },
  ".cm-gutters": { backgroundColor: "var(--ground)", color: "var(--quiet)", border: "none" },
  ".cm-activeLine, .cm-activeLineGutter": { backgroundColor: "var(--line-here)" },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": {
    backgroundColor: "var(--selected)",
  },
  ".cm-lintRange": { backgroundImage: "none", paddingBottom: "0" },
  ".cm-lintRange-error": { textDecoration: "underline wavy var(--error) 1.5px", textUnderlineOffset: "3px" },
  ".cm-lintRange-warning": { textDecoration: "underline dashed var(--warning) 2px", textUnderlineOffset: "3px" },
  ".cm-lintRange-active": { backgroundColor: "var(--selected)" },
  ".cm-tooltip": { backgroundColor: "var(--sheet)", color: "var(--ink)", border: "1px solid var(--edge)" },
  ".cm-tooltip-lint": { maxWidth: "26rem" },
  ".cm-diagnostic": { whiteSpace: "pre-line", padding: "0.4rem 0.6rem", fontFamily: "system-ui, sans-serif" },
  ".cm-diagnostic-error": { borderLeft: "4px solid var(--error)" },
  ".cm-diagnostic-warning": { borderLeft: "4px solid var(--warning)" },
  ".cm-panels": { backgroundColor: "var(--ground)", color: "var(--ink)" },
  ".cm-tooltip-autocomplete ul li[aria-selected]": { backgroundColor: "var(--accent)", color: "var(--on-accent)" },
});

const colours = HighlightStyle.define([
  { tag: [tags.definition(tags.propertyName), tags.propertyName], color: "var(--key)", fontWeight: "600" },
  { tag: tags.comment, color: "var(--quiet)", fontStyle: "italic" },
  { tag: [tags.string, tags.content], color: "var(--ink)" },
]);

/** Puts the editor into an element and calls `changed` for each change a person made. */
export function begin(holder, changed) {
  // In a root of its own the editor's looks are no style elements of the page, which its policy forbids.
  const root = holder.attachShadow({ mode: "open" });
  const told = EditorView.updateListener.of((update) => {
    if (update.docChanged) {
      for (const place of tracked.values()) {
        place.from = update.changes.mapPos(place.from, -1);
        place.to = update.changes.mapPos(place.to, 1);
      }
    }
    if (update.docChanged && !update.transactions.some((one) => one.annotation(opened))) changed();
  });
  view = new EditorView({ parent: root, root, state: state("", told) });
  view.fresh = (text) => state(text, told);
}

function state(text, told) {
  return EditorState.create({
    doc: text,
    extensions: [
      lineNumbers(),
      history(),
      drawSelection(),
      highlightActiveLine(),
      highlightSelectionMatches(),
      bracketMatching(),
      yaml(),
      syntaxHighlighting(colours),
      autocompletion({ override: [completions], activateOnTyping: false }),
      keymap.of([...defaultKeymap, ...historyKeymap, ...lintKeymap, ...searchKeymap, ...completionKeymap]),
      EditorView.lineWrapping,
      name.of(named()),
      look,
      told,
    ],
  });
}

export const text = () => view.state.doc.toString();
export const focus = () => view.focus();
export const back = () => undo(view);
export const forth = () => redo(view);

/** Another boat: its changes begin anew. */
export function open(boat) {
  tracked = new Map();
  view.setState(view.fresh(boat));
}

// That it can be reached by keys is said as well, for what does not know it of an editable text.
const named = () => EditorView.contentAttributes.of({ "aria-label": label, tabindex: "0" });

/** What a screen reader says of the field. */
export function called(words) {
  label = words;
  view.dispatch({ effects: name.reconfigure(named()) });
}

/** Replaces the whole text as one step that can be undone. */
export function replace(boat) {
  view.dispatch({ changes: { from: 0, to: view.state.doc.length, insert: boat }, userEvent: "input.solve" });
}

/** Follows places from now on, by their keys. */
export function track(places) {
  tracked = new Map(places.map(([key, place]) => [key, range(view.state.doc, place)]));
}

/** Replaces what stands at a place that is followed. */
export function put(key, words) {
  const there = tracked.get(key);
  if (!there || view.state.sliceDoc(there.from, there.to) === words) return;
  view.dispatch({ changes: { ...there, insert: words }, userEvent: "input.dial" });
}

/** Shows a place and goes there. */
export function show(place) {
  const { from, to } = range(view.state.doc, place);
  view.dispatch({ selection: { anchor: from, head: to }, effects: EditorView.scrollIntoView(from, { y: "center" }) });
  view.focus();
}

/** Underlines what was found. */
export function underline(found) {
  const marks = found.map(({ place, severity, message }) => {
    const { from, to } = range(view.state.doc, place);
    return { from, to: to === from ? Math.min(from + 1, view.state.doc.length) : to, severity, message };
  });
  view.dispatch(setDiagnostics(view.state, marks));
}
