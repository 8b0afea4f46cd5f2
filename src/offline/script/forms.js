// A form for each check, made when it is first opened: fields, units, choices, and the result.
const forms = (() => {
  const { make } = place;
  const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
  const BETTER_METER = "The reading lies within the meter's uncertainty of a limit: a better meter or a second method would settle it.";

  // The lines of the printed definition, which say what everything means.
  const lines = (item, list) => Array.from(item.querySelectorAll(`.${list} > li`));
  const words = (line, tag) => line.querySelector(tag).textContent;

  // Minus has no key on a decimal pad, so fields that may take one get all keys.
  const keypad = (input) => {
    const zero = units.ofKind(input.kind).find((unit) => unit.symbol === input.unit);
    return input.limits && input.limits[0] < (zero ? zero.offset : 0) ? "text" : "decimal";
  };
  const hasOverRange = (input) =>
    input.reading && (input.kind === "Resistance" || (input.kind === "Voltage" && input.limits && input.limits[1] <= 10));

  const choice = (id, input, line) => {
    const radios = input.choices.map((word, at) => make("label", { class: "choice" },
      make("input", { type: "radio", name: id, value: word, checked: at === 0 }),
      word));
    const box = make("fieldset", {}, make("legend", {}, words(line, "b")),
      make("p", { class: "hint" }, words(line, "span")), ...radios);
    return { input, box, typed: () => box.querySelector("input:checked").value };
  };

  const measure = (id, input, line) => {
    const hint = `${id}.hint`;
    const wrong = `${id}.wrong`;
    const value = make("input", {
      id, type: "text", inputmode: keypad(input), maxlength: "80", "aria-describedby": `${hint} ${wrong}`,
      autocapitalize: "off", spellcheck: "false", enterkeyhint: "go",
    });
    const symbols = units.ofKind(input.kind).map((unit) => unit.symbol);
    const unit = symbols.length > 1
      ? make("select", { "aria-label": `Unit: ${words(line, "b")}` },
        ...symbols.map((symbol) => make("option", { selected: symbol === input.unit }, symbol)))
      : undefined;
    const over = hasOverRange(input)
      ? make("button", { type: "button", class: "plain", "aria-label": `OL, over range: ${words(line, "b")}` }, "OL") : undefined;
    if (over) over.addEventListener("click", () => (value.value = "OL"));
    const fixedUnit = unit || symbols[0] === "" ? undefined : make("span", { class: "unit" }, symbols[0]);
    const message = make("p", { id: wrong, class: "wrong" });
    const box = make("div", { class: "field" },
      make("label", { for: id }, words(line, "b")),
      make("p", { id: hint, class: "hint" }, `${words(line, "span")} (${words(line, "i")}; such as ${input.example})`),
      make("div", { class: "value" }, value, unit, fixedUnit, over),
      message);
    const tell = (text) => {
      message.textContent = text;
      if (text === "") value.removeAttribute("aria-invalid");
      else value.setAttribute("aria-invalid", "true");
    };
    return { input, box, value, unit, tell, typed: () => value.value };
  };

  // Reads every field; what can't be read is told at the field.
  const gather = (fields) => {
    const given = {};
    let bad;
    for (const field of fields) {
      if (field.tell) field.tell("");
      const typed = field.typed();
      if (typed.trim() === "") continue;
      try {
        given[field.input.name] = engine.read(field.input, typed, field.unit && field.unit.value);
      } catch (error) {
        if (!(error instanceof Refused)) throw error;
        field.tell(capital(error.message));
        bad = bad || field;
      }
    }
    return { given, bad };
  };

  const labelled = (label, text) => make("p", {}, make("b", {}, `${label}: `), text);

  const result = (item, check, evaluation) => {
    const gives = lines(item, "gives");
    const meaning = (name) => words(gives[check.outputs.findIndex((one) => one.name === name)], "span");
    const outputs = evaluation.outputs.map((output) => {
      const { text, interval } = engine.show(output);
      return make("li", {}, `${meaning(output.name)}: `, make("b", {}, text), interval === "" ? "" : ` ${interval}`);
    });
    const parts = [make("ul", {}, ...outputs)];
    const judged = evaluation.judgement;
    if (judged) {
      const band = lines(item, "bands")[judged.band];
      parts.push(make("p", { class: `verdict ${judged.verdict}` }, make("strong", {}, `${capital(judged.verdict)}. `),
        words(band, "span"), " ", make("i", {}, words(band, "i"))));
      if (!judged.conclusive) parts.push(make("p", {}, BETTER_METER));
    }
    if (evaluation.expected) parts.push(labelled("Expected", evaluation.expected));
    if (evaluation.doubt) {
      parts.push(labelled("Look again", `${meaning(evaluation.doubt.name)} would be ${engine.show(evaluation.doubt).text}; check the meter, its range and the terminals.`));
    }
    parts.push(...evaluation.notes.map((note) => labelled("Note", note)));
    for (const name of evaluation.assumed) {
      const input = check.inputs.find((one) => one.name === name);
      parts.push(labelled("Assumed", `${name.replace(/_/g, " ")} ${units.show(input.kind, evaluation.values[name])}`));
    }
    return parts;
  };

  const compute = (item, name, fields, shown, tell) => {
    const check = data.checks[name];
    shown.replaceChildren();
    const at = (input) => fields.find((field) => field.input.name === input);
    const { given, bad } = gather(fields);
    const complain = (field, text) => {
      tell(`Not computed: ${text}`);
      if (field && field.tell) {
        field.tell(text);
        field.value.focus();
      }
    };
    if (bad) {
      complain(bad, bad.box.querySelector(".wrong").textContent);
      return;
    }
    try {
      const evaluation = engine.evaluate(name, given);
      shown.append(...result(item, check, evaluation));
      tell(evaluation.judgement ? `Computed: ${evaluation.judgement.verdict}.` : "Computed.");
    } catch (error) {
      if (error instanceof Missing) complain(at(error.message), "A value is needed here.");
      else if (error instanceof Refused) complain(at(error.input), capital(error.message));
      else if (error instanceof Contradiction) complain(at(error.input), capital(error.message));
      else throw error;
    }
  };

  // Fills in what the register knows of a drive.
  const drives = (fields) => {
    if (!data.drives) return undefined;
    const pick = make("select", {}, make("option", { value: "" }, "none"),
      ...data.drives.map((drive, at) => make("option", { value: String(at) }, drive.id)));
    pick.addEventListener("change", () => {
      const drive = data.drives[Number(pick.value)];
      for (const { input, value, box } of fields) {
        const known = drive && pick.value !== "" ? drive.nameplate[input.name] : undefined;
        if (known === undefined) continue;
        if (value) value.value = known;
        else for (const radio of box.querySelectorAll("input")) radio.checked = radio.value === known;
      }
    });
    return make("label", { class: "field" }, "Nameplate of the drive", make("span", { class: "value" }, pick));
  };

  const build = (item) => {
    const name = item.id.replace(/^check\./, "");
    const check = data.checks[name];
    const takes = lines(item, "takes");
    const fields = check.inputs.map((input, at) =>
      (input.choices ? choice : measure)(`${name}.${input.name}`, input, takes[at]));
    const said = make("p", { role: "status" });
    const shown = make("div", { class: "result" });
    const form = make("form", { class: "sum", autocomplete: "off", novalidate: true },
      make("h5", {}, "Work it out"), drives(fields), ...fields.map((field) => field.box),
      make("div", { class: "buttons" }, make("button", { type: "submit" }, "Compute"),
        make("button", { type: "reset", class: "plain" }, "Clear")),
      said, shown);
    const tell = (text) => (said.textContent = text);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      compute(item, name, fields, shown, tell);
    });
    form.addEventListener("reset", () => {
      shown.replaceChildren();
      tell("");
      for (const field of fields) if (field.tell) field.tell("");
    });
    item.querySelector("p:not(.w)").before(form);
  };

  const start = () => {
    // Opening does not bubble, but it can be caught on the way down.
    document.addEventListener("toggle", (event) => {
      const item = event.target;
      const isCheck = item.tagName === "DETAILS" && item.id.startsWith("check.");
      if (isCheck && item.open && !item.querySelector("form")) build(item);
    }, true);
  };

  return { start };
})();
