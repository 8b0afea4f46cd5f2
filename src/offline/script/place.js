// The page itself: elements that are made, and places that links lead to.
const place = (() => {
  // An element with its attributes and what stands in it; text always goes in as text.
  const make = (tag, attributes, ...children) => {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (value !== undefined && value !== false) element.setAttribute(name, value === true ? "" : value);
    }
    element.append(...children.filter((child) => child !== undefined && child !== ""));
    return element;
  };

  // Opens everything around a place, and the place itself.
  const open = (element) => {
    for (let one = element; one; one = one.parentElement) {
      if (one.tagName === "DETAILS") one.open = true;
    }
  };

  const target = (hash) => {
    try {
      return document.getElementById(decodeURIComponent(hash.slice(1)));
    } catch {
      return null; // an address that somebody mistyped
    }
  };

  const go = () => {
    const element = target(window.location.hash);
    if (!element) return;
    open(element);
    element.scrollIntoView();
  };

  // A link to a place of the page, called as the place calls itself.
  const link = (id, ...remarks) => {
    const title = document.querySelector(`[id="${id}"] > summary`);
    return make("a", { href: `#${id}` }, title ? title.textContent : id, ...remarks);
  };

  // What was opened is printed; where nothing is open, everything is.
  const beforePrint = () => {
    const opened = document.querySelectorAll("section > details[open]");
    document.body.classList.toggle("chosen", opened.length > 0);
    for (const item of opened) {
      for (const part of item.querySelectorAll("details.part")) part.open = true;
    }
  };

  const start = () => {
    document.addEventListener("click", (event) => {
      const clicked = event.target.closest('a[href^="#"]');
      const element = clicked && target(clicked.getAttribute("href"));
      if (element) open(element);
    });
    window.addEventListener("hashchange", go);
    window.addEventListener("beforeprint", beforePrint);
    go();
  };

  return { make, link, start };
})();
