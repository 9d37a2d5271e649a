// What is there for a thumb, and how large it is. WCAG 2.2 asks for 24 px of CSS (2.5.8), and at its highest level for
// 44 (2.5.5). A field is as large as the words beside it that are pressed as well.

/** Everything shown that can be pressed and is narrower or lower than so many pixels. */
export function smallerThan(page, least) {
  return page.evaluate((least) => {
    const inner = document.querySelector("dialog[open]") ?? document;
    const all = [...inner.querySelectorAll("button, select, input, textarea, summary, a[href], [role=button]")];
    return all.flatMap((one) => {
      // Inside of a line of text the line decides (2.5.8, "inline").
      if (one.offsetParent === null || (one.matches("a") && getComputedStyle(one).display === "inline")) return [];
      const boxes = [one, ...(one.labels ?? [])].map((each) => each.getBoundingClientRect());
      const size = Math.max(...boxes.map(({ width, height }) => Math.min(width, height)));
      // What is put out of sight for a label that stands for it.
      if (one.matches(".skip, [type=file]") && boxes.length === 1) return [];
      return size < least ? [`${one.id || one.className || one.tagName} "${one.textContent.trim().slice(0, 20)}": ${Math.round(size)} px`] : [];
    });
  }, least);
}

/** Whether the page, or the window open in it, has to be scrolled sideways. */
export const sideways = (page) =>
  page.evaluate(() => Math.max(document.documentElement.scrollWidth - innerWidth, ...[...document.querySelectorAll("dialog[open]")].map((one) => one.scrollWidth - one.clientWidth)));
