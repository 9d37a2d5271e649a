// The licences of everything in this page, which lie packed in it.

import { at } from "./dom.js";

export function listen() {
  at("to-licences").addEventListener("click", async () => {
    at("licences").showModal();
    if (!at("licences-text").textContent) at("licences-text").textContent = await texts();
  });
  at("licences-close").addEventListener("click", () => at("licences").close());
}

function texts() {
  const bytes = Uint8Array.from(atob(at("packed-licences").textContent), (letter) => letter.charCodeAt(0));
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).text();
}
