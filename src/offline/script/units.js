// Quantities as people type them, and as the program shows them.
const units = (() => {
  const ofKind = (kind) => data.kinds[kind].units;
  const isDigit = (c) => c !== undefined && c >= "0" && c <= "9";

  // One spelling of minus, spaces, ohm, micro and degrees.
  const SPELLED = {
    "\u2212": "-", "\u2013": "-", "\u207b": "-", "\u00a0": " ", "\u2009": " ", "\u202f": " ",
    "\t": " ", "\u2126": "Ω", "\u03bc": "µ", "\u2019": "'", "\u00ba": "°", "\u2103": "°C",
    "\u2109": "°F", "½": " 1/2", "¼": " 1/4", "¾": " 3/4",
  };
  const plain = (typed) =>
    Array.from(typed, (c) => SPELLED[c] || c)
      .join("")
      .replace(/^[~≈ ]+/, "")
      .replace(/[,; ]+$/, "");

  // Whether a mark splits the digits into groups of three.
  const grouped = (text, mark) => {
    const [first, ...groups] = text.split(mark);
    return first.length >= 1 && first.length <= 3 && groups.every((group) => group.length === 3);
  };

  // Grouping and decimal marks as one plain decimal number; a comma that may be either is refused.
  const decimal = (written) => {
    const compact = written.replace(/[ ']/g, "").replace(/\.+$/, "");
    const without = (mark) => compact.split(mark).join("");
    const commas = compact.split(",").length - 1;
    const points = compact.split(".").length - 1;
    if (commas === 0 && points <= 1) return compact;
    if (commas === 1 && points === 0) {
      const [whole, fraction] = compact.split(",");
      const point = `${whole}.${fraction}`;
      if (fraction.length === 3 && /^[1-9]\d{0,2}$/.test(whole)) {
        throw new Refused(`"${written}" can mean ${point} or ${without(",")}; write one of these`);
      }
      return point;
    }
    if (points === 0 && grouped(compact, ",")) return without(",");
    if (commas === 0 && grouped(compact, ".")) return without(".");
    const last = compact.lastIndexOf(",") < compact.lastIndexOf(".") ? "." : ",";
    const [whole, fraction, more] = compact.split(last);
    const mark = last === "." ? "," : ".";
    if (more === undefined && grouped(whole, mark)) {
      return `${whole.split(mark).join("")}.${fraction}`;
    }
    return undefined;
  };

  // Where the run of digits, points, commas and digit-grouping spaces ends.
  const digitsEnd = (text) => {
    let at = 0;
    while (at < text.length) {
      const c = text[at];
      const group = /^\d{3}(?!\d)/.test(text.slice(at + 1));
      const before = text.slice(0, at);
      if (isDigit(c)) at += 1;
      else if ((c === "." || c === ",") && isDigit(text[at + 1])) at += 1;
      else if (c === "." && isDigit(text[at - 1]) && !/^\p{Alphabetic}/u.test(text.slice(at + 1))) {
        return at + 1;
      } else if ((c === " " || c === "'") && group && /(^\d{1,3}|[ ']\d{3})$/.test(before)) at += 1;
      else break;
    }
    return at;
  };

  // `1/2` and `7 1/2`, as horsepower is still written.
  const fraction = (text) => {
    const found = /^(?:(\d{1,4})[ -])?(\d{1,4})\/(\d{1,4})(?![\d/.,])/.exec(text);
    if (!found) return undefined;
    const [all, whole, top, bottom] = found;
    const usual = [2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 32, 40, 60, 64];
    if (Number(top) >= Number(bottom) || !usual.includes(Number(bottom))) return undefined;
    const value = Number(whole || 0) + Number(top) / Number(bottom);
    return { value, resolution: 0, rest: text.slice(all.length) };
  };

  // The number in front, how finely it is written, and what follows it.
  const leading = (text) => {
    const sign = text.startsWith("-") ? -1 : 1;
    const unsigned = /^[-+]/.test(text) ? text.slice(1).trimStart() : text;
    const part = fraction(unsigned);
    if (part) return { ...part, value: sign * part.value };
    const end = digitsEnd(unsigned);
    const written = unsigned.slice(0, end);
    const number = /\d/.test(written) ? decimal(written) : undefined;
    if (number === undefined) return undefined;
    const power = /^[eE][-+]?\d{1,3}/.exec(unsigned.slice(end));
    const scale = 10 ** (power ? Number(power[0].slice(1)) : 0);
    const places = (number.split(".")[1] || "").length;
    return {
      value: sign * Number(number) * scale,
      resolution: 10 ** -places * scale,
      rest: unsigned.slice(end + (power ? power[0].length : 0)),
    };
  };

  const bare = (unit) => unit.replace(/[ .·*^⋅×]/g, "");

  // The unit that is meant: spelled exactly, or in another case where milli is not mega.
  const find = (kind, typed) => {
    const wanted = typed.trim() === "×" ? "×" : bare(typed);
    const all = ofKind(kind);
    const spells = (same) => (unit) => unit.spellings.some((own) => same(bare(own)) || same(own));
    const exact = all.find(spells((own) => own === wanted));
    if (exact) return exact;
    const lower = wanted.toLowerCase();
    const loose = all.filter(spells((own) => own.toLowerCase() === lower));
    const matters = (unit, own) =>
      /^[mM]/.test(unit.symbol) && own.length <= 6 && /^[mM](?!eg)/.test(own) &&
      !["min", "m", "m²", "m³/h", "m/s", "m/min"].includes(unit.symbol);
    const safe = loose.filter((unit) =>
      spells((own) => own.toLowerCase() === lower &&
        (!matters(unit, own) || own[0] === wanted[0]))(unit));
    if (safe.length === 1) return safe[0];
    if (loose.length === 0) return undefined;
    throw new Refused(
      `the unit "${typed}" is not clear: write ${loose.map((unit) => unit.symbol).join(" or ")}`);
  };

  // `OL` and its like: the meter is over its range.
  const OVER = { Resistance: 1e9, Voltage: 10 };
  const overRange = (kind, text) => {
    const word = text.replace(/[. ]/g, "").toLowerCase()
      .replace(/ω+$/, "").replace(/(ohm)+$/, "").replace(/[mk]+$/, "");
    const over = ["ol", "0l", "open", "inf", "infinite", "infinity", "∞", "overrange", "over-range"];
    return OVER[kind] !== undefined && over.includes(word);
  };

  // `4k7`, `2M2`, `0R47`: the multiplier in place of the point (IEC 60062).
  const resistorCode = (text) => {
    const found = /^(\d+)([kKMR])(\d+)$/.exec(text);
    if (!found || text.length > 8) return undefined;
    const factor = { R: 1, M: 1e6 }[found[2]] || 1e3;
    return Number(`${found[1]}.${found[3]}`) * factor;
  };

  // `14 AWG`, `#14`, `2/0`: the area of the round wire by the geometric series of ASTM B258.
  const wireGauge = (text) => {
    const lower = text.toLowerCase();
    const named = /^(?:awg|#)\s*#?\s*(\d+(?:\/0)?)$|^#?\s*(\d+(?:\/0)?)\s*(?:awg|gauge|ga)$|^(\d\/0)$/.exec(lower);
    if (!named) return undefined;
    const size = named[1] || named[2] || named[3];
    const zeros = /^([1-4])\/0$/.exec(size);
    if (!zeros && (size.includes("/") || Number(size) > 40)) return undefined;
    const gauge = zeros ? 1 - Number(zeros[1]) : Number(size);
    const diameter = 0.127e-3 * 92 ** ((36 - gauge) / 39);
    return (Math.PI / 4) * diameter * diameter;
  };

  const suchAs = (kind, example) => `expected ${data.kinds[kind].words} such as ${example || data.kinds[kind].example}`;

  // Reads what is typed: value in the coherent SI unit, resolution, and which side it bounds.
  const parse = (kind, typed, bareUnit, example) => {
    const text = plain(typed);
    if (text === "") throw new Refused(`nothing was typed; ${suchAs(kind, example)}`);
    const notANumber = () =>
      new Refused(`"${typed.slice(0, 80)}" does not start with a number; ${suchAs(kind, example)}`);
    if (text.length > 80) throw notANumber();
    if (overRange(kind, text)) return { si: OVER[kind], resolution: 0, bound: "least" };
    let [bound, number] = ["exact", text];
    if (/^[>≥]/.test(text)) [bound, number] = ["least", text.replace(/^[>≥= ]+/, "")];
    if (/^[<≤]/.test(text)) [bound, number] = ["most", text.replace(/^[<≤= ]+/, "")];
    const coded = kind === "Area" ? wireGauge(number)
      : kind === "Resistance" ? resistorCode(number) : undefined;
    if (coded !== undefined) return { si: coded, resolution: 0, bound };
    const read = leading(number);
    if (read === undefined) throw notANumber();
    const named = read.rest.trim();
    const unit = find(kind, named === "" ? bareUnit : named);
    if (unit === undefined) {
      const choices = ofKind(kind).filter((one) => one.shown).map((one) => one.symbol);
      throw new Refused(`"${named}" is no unit of ${data.kinds[kind].words} that is known here; use ${choices.join(", ")}`);
    }
    const si = read.value * unit.factor + unit.offset;
    if (!Number.isFinite(si) || Math.abs(si) > 1e15) {
      throw new Refused(`"${typed}" is beyond anything that can be measured; ${suchAs(kind, example)}`);
    }
    return { si, resolution: read.resolution * unit.factor, bound };
  };

  // A number with so many places; a half goes to the even digit, as the program rounds.
  const fixed = (value, places) => {
    const text = value.toFixed(places);
    const digits = Math.abs(value).toFixed(60).split(".");
    const behind = digits[1].slice(places);
    if (!/^50*$/.test(behind)) return text;
    const even = `${digits[0]}.${digits[1].slice(0, places)}`;
    const last = even.replace(".", "").slice(-1);
    if (Number(last) % 2 === 1) return text;
    const cut = places === 0 ? digits[0] : even;
    return value < 0 ? `-${cut}` : cut;
  };

  // A number with so many significant digits, without trailing zeros or an exponent.
  const significant = (value, digits) => {
    if (value === 0) return "0";
    if (!Number.isFinite(value)) return "not a number";
    const magnitude = Number(Math.abs(value).toExponential().split("e")[1]);
    const places = digits - 1 - magnitude;
    if (places <= 0) return fixed(value, 0);
    const text = fixed(value, Math.min(places, 12)).replace(/0+$/, "").replace(/\.$/, "");
    return ["", "-0", "-"].includes(text) ? "0" : text;
  };

  // The value as the program shows it: the largest shown unit in which it is at least one.
  const show = (kind, si) => {
    const shown = ofKind(kind).filter((unit) => unit.shown);
    const size = Math.abs(si);
    let unit = shown[0];
    if (size === 0) unit = shown.find((one) => one.factor === 1) || unit;
    else for (const one of shown.slice(1)) if (size >= one.from) unit = one;
    const number = significant((si - unit.offset) / unit.factor, 4);
    return unit.symbol === "" ? number : `${number} ${unit.symbol}`;
  };

  // The number of a value in the unit with this symbol.
  const inUnit = (kind, si, symbol) => {
    const unit = ofKind(kind).find((one) => one.symbol === symbol);
    return unit && (si - unit.offset) / unit.factor;
  };

  return { parse, show, significant, inUnit, ofKind };
})();
