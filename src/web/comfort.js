// Comfort only: hits while one types. Without it the search button does the same.
"use strict";
(() => {
  const field = document.querySelector('form[action="/find"] #words');
  const found = document.getElementById("found");
  if (!field || !found) return;
  let waiting = 0;
  let newest = 0;
  const show = async () => {
    const words = field.value.trim();
    if (words.length < 3) return;
    const mine = ++newest;
    const query = new URLSearchParams(new FormData(field.form));
    query.set("part", "1");
    try {
      const answer = await fetch("/find?" + query);
      const text = await answer.text();
      if (!answer.ok || mine !== newest) return;
      const part = new DOMParser().parseFromString(text, "text/html");
      found.replaceChildren(...part.body.childNodes);
      query.delete("part");
      history.replaceState(null, "", "/find?" + query);
    } catch {
      // The connection is gone; the button will tell.
    }
  };
  field.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(show, 250);
  });
})();
