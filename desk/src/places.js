// The program counts lines and columns in characters from 1; the editor counts units of UTF-16 from 0.

/** The range of a place in the editor's text, within it whatever has been typed since. */
export function range(doc, place) {
  const from = offset(doc, place.line, place.column);
  return { from, to: Math.max(from, offset(doc, place.end_line, place.end_column)) };
}

function offset(doc, number, column) {
  if (number > doc.lines) return doc.length;
  const line = doc.line(Math.max(number, 1));
  const before = [...line.text].slice(0, column - 1).join("");
  return line.from + before.length;
}
