// The search form: what was found, why, and what would help where nothing was.
const finder = (() => {
  const { make, link } = place;
  const WHAT_HELPS = "What would help: what the display says in words, the moment of the trip (at power-up, at the start, while speeding up, at a steady speed, while slowing down), and what was changed before.";
  const NEVER = "Never bridge, bypass or switch off a protective or safety device to get a machine going, and do not reset it again and again: it has seen something. Find out what, with those who answer for the safety of this machine.";
  const OUT_OF_SCOPE = "This does not look like trouble with a variable-speed drive. If a drive feeds the motor, say what the drive shows and when it stops.";

  const list = (title, links) =>
    links.length === 0 ? [] : [
      make("h3", {}, title),
      make("ul", { class: "links" }, ...links.map((one) => make("li", {}, one))),
    ];

  const remarks = (found) => [
    ...(found.defeats ? [NEVER] : []),
    ...found.corrected.map(([typed, read]) => `"${typed}" read as "${read}".`),
    ...found.makerCodes.map((code) =>
      `${code} looks like a code of the drive's maker, and no two makers agree: look it up in the drive's own manual and search here by its meaning.`),
  ];

  const results = (found) => [
    ...list("Fault classes", found.classes.map((one) =>
      link(one.id, ...(one.words.length > 0 ? [" ", make("i", {}, one.words.join("; "))] : [])))),
    ...list("Causes named", found.causes.map((one) => link(`c.${one.id}`))),
    ...list("Measurements named", found.questions.map((one) => link(`q.${one.id}`))),
    ...list("Checks named", found.checks.map((one) => link(`check.${one.id}`))),
  ];

  const said = (found) => {
    const count = found.classes.length;
    if (count > 0) return `${count} fault ${count === 1 ? "class" : "classes"}, the likeliest first.`;
    if (found.outOfScope) return OUT_OF_SCOPE;
    return `${found.makerCodes.length > 0 ? "" : "Nothing here matches well. "}${WHAT_HELPS}`;
  };

  const start = () => {
    const section = document.getElementById("find");
    const field = document.getElementById("find.words");
    section.hidden = false;
    section.querySelector("form").addEventListener("submit", (event) => {
      event.preventDefault();
      const words = field.value.trim();
      const shown = document.getElementById("find.found");
      shown.replaceChildren();
      if (words === "") {
        document.getElementById("find.said").textContent = "Type what the drive shows, or what the machine does.";
        field.focus();
        return;
      }
      const found = search.find(words);
      document.getElementById("find.said").textContent = said(found);
      shown.append(...remarks(found).map((text) => make("p", {}, text)), ...results(found));
    });
  };

  return { start };
})();
