// The words of the page in its languages.

import de from "./words/de.json";
import en from "./words/en.json";

const ALL = { en, de };
export const LANGUAGES = Object.keys(ALL);
let chosen = "en";

export const language = () => chosen;

/** A text with its gaps filled. */
export function word(key, gaps = {}) {
  return ALL[chosen][key].replace(/\{(\w+)\}/g, (_, gap) => gaps[gap]);
}

/** Chooses a language and writes it over the page. */
export function speak(wanted) {
  chosen = LANGUAGES.includes(wanted) ? wanted : "en";
  document.documentElement.lang = chosen;
  for (const element of document.querySelectorAll("[data-word]")) element.textContent = word(element.dataset.word);
  for (const element of document.querySelectorAll("[data-name]")) {
    element.setAttribute("aria-label", word(element.dataset.name));
  }
}
