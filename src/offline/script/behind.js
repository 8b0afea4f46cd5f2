// The classes that a cause may be behind, added when it is opened.
const behind = (() => {
  const { make, link } = place;

  const classesOf = (cause) => {
    const number = data.search.causes.indexOf(cause);
    return data.search.classes.filter(({ causes }) => causes.some(([own]) => own === number));
  };

  const add = (item) => {
    const links = classesOf(item.id.replace(/^c\./, "")).map(({ id }) => make("li", {}, link(id)));
    item.append(make("h5", {}, "Behind"), make("ul", { class: "links" }, ...links));
  };

  // Opening does not bubble, but it can be caught on the way down.
  const start = () => document.addEventListener("toggle", (event) => {
    const item = event.target;
    if (item.open && item.id.startsWith("c.") && !item.querySelector(".links")) add(item);
  }, true);

  return { start };
})();
