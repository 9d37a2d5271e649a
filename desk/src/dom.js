// Elements without markup in strings: what a boat file says is text and never a tag.

/** An element with attributes and children. */
export function make(tag, attributes = {}, ...children) {
  const svg = ["svg", "rect", "line", "path"].includes(tag);
  const element = svg ? document.createElementNS("http://www.w3.org/2000/svg", tag) : document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

export const at = (id) => document.getElementById(id);

/** Hands a file to the person. */
export function download(name, bytes, type = "application/octet-stream") {
  const address = URL.createObjectURL(new Blob([bytes], { type }));
  const link = make("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
