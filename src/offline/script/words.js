// From what is typed to known words: case, accents, units, spelling; as src/search does it.
const spelling = (() => {
  const MOST_WORDS = 160;
  const MOST_CORRECTIONS = 24;

  // Known words with their stem and how often they are used.
  const known = new Map();
  for (const line of data.search.words) {
    const [stem, ...spelled] = line.split(" ");
    if (!known.has(stem)) known.set(stem, { stem, uses: 0 });
    for (const one of spelled) {
      const [text, uses] = one.slice(1).split(":");
      known.set(one[0] === "+" ? stem + text : text, { stem, uses: Number(uses) });
    }
  }
  const byLength = new Map();
  for (const [word, { uses }] of known) {
    if (uses === 0) continue;
    if (!byLength.has(word.length)) byLength.set(word.length, []);
    byLength.get(word.length).push(word);
  }

  // In the order of letters: of equally good ones the first is meant.
  for (const words of byLength.values()) words.sort();

  const ENDINGS = ["s", "es", "d", "ed", "ing", "ly", "er", "ers", "ion", "ions", "ment"];
  // The stem of a word; of an unknown form that of the known word without its ending.
  const stem = (word) => {
    if (/^[\d.]+min$/.test(word)) return "#min";
    if (known.has(word)) return known.get(word).stem;
    if (word.length < 5 || /\d/.test(word)) return word;
    for (const ending of ENDINGS.filter((one) => word.endsWith(one))) {
      const front = word.slice(0, -ending.length);
      const single = /(.)\1$/.test(front) ? front.slice(0, -1) : front;
      const base = [front, `${front}e`, single].find((one) => one.length > 2 && known.has(one));
      if (base) return known.get(base).stem;
    }
    return word;
  };

  const SPECIAL = { æ: "ae", œ: "oe", ø: "o", ł: "l", đ: "d", ß: "ss", ı: "i", "²": "2", "³": "3", Ω: "ω", "\u2126": "ω", "°": "deg" };
  const fold = (c) => {
    const lower = c.toLowerCase();
    if (SPECIAL[lower]) return SPECIAL[lower];
    const base = lower.normalize("NFD").replace(/[\u0300-\u036f]/g, "");
    return /^[\p{L}\p{N}]+$/u.test(base) ? base : "";
  };

  const UNITS = {
    v: "v vac vdc volt volts", kv: "kv", a: "amp amps ampere amperes", ma: "ma", hz: "hz hertz cps",
    khz: "khz", kw: "kw", hp: "hp ps cv", rpm: "rpm", ms: "ms", s: "sec secs second seconds sek",
    min: "min mins minute minutes", ohm: "ohm ohms ω", mohm: "mohm megohm megohms meg",
    "%": "percent pct %", degc: "degc celsius", kvar: "kvar",
  };
  const unitOf = (word, sure) => {
    if (sure && (word === "a" || word === "s")) return word;
    return Object.keys(UNITS).find((unit) => UNITS[unit].split(" ").includes(word));
  };

  // A number and the unit behind it become one word: `480 V`, `480V`, `480 volts`.
  const joinUnits = (words) => {
    for (let at = 0; at < words.length; at += 1) {
      const [, number, own] = /^(\d[\d.]*)?(.*)$/.exec(words[at].plain);
      if (number === undefined) continue;
      const next = words[at + 1];
      const unit = unitOf(own, true);
      if (own !== "" && unit) words[at].plain = number + unit;
      else if (own === "" && next) {
        const behind = unitOf(next.plain, /\p{Lu}/u.test(next.typed));
        if (behind) {
          words.splice(at, 2, { plain: number + behind, typed: `${words[at].typed} ${next.typed}` });
        }
      }
    }
  };

  // `E/F` and `O.C.` are one word; only single letters are joined.
  const joinLetters = (words, text) => {
    for (let at = 0; at + 1 < words.length; at += 1) {
      const typed = ["/", "."].map((sign) => words[at].typed + sign + words[at + 1].typed)
        .find((one) => text.includes(one));
      if (/^[a-z]$/.test(words[at].plain) && /^[a-z]$/.test(words[at + 1].plain) && typed) {
        words.splice(at, 2, { plain: words[at].plain + words[at + 1].plain, typed });
      }
    }
  };

  const split = (text) => {
    const characters = Array.from(text).slice(0, 1200);
    const words = [];
    let [plain, typed] = ["", ""];
    const end = () => {
      if (plain !== "") words.push({ plain, typed: typed.replace(/['\u2019]+$/, "") });
      [plain, typed] = ["", ""];
    };
    characters.forEach((c, at) => {
      const [before, after] = [characters[at - 1] || "", characters[at + 1] || ""];
      if ((c === "." || c === ",") && /\d/.test(before) && /\d/.test(after)) {
        [plain, typed] = [`${plain}.`, typed + c];
      } else if (c === "%" && /[\d ]/.test(before)) {
        [plain, typed] = [`${plain}%`, typed + c];
      } else if (/['\u2019\u02bc\u0060]/.test(c)) {
        // l'arrêt: an article stands before the apostrophe; won't: nothing.
        if (plain.length <= 1 && /\p{L}/u.test(after)) end();
        else typed += c;
      } else if (/[\u0300-\u036f]/.test(c)) {
        // An accent that was typed apart from its letter.
      } else {
        const folded = fold(c);
        if (folded === "") end();
        else if (typed.length < 40) [plain, typed] = [plain + folded, typed + c];
      }
    });
    end();
    joinLetters(words, text);
    joinUnits(words);
    return words.slice(0, MOST_WORDS);
  };

  // Fewest letters to add, leave out, change or swap (optimal string alignment).
  const distance = (one, other) => {
    const rows = [Array.from({ length: other.length + 1 }, (_, at) => at)];
    for (let i = 1; i <= one.length; i += 1) {
      rows.push([i]);
      for (let j = 1; j <= other.length; j += 1) {
        const same = one[i - 1] === other[j - 1] ? 0 : 1;
        let least = Math.min(rows[i - 1][j] + 1, rows[i][j - 1] + 1, rows[i - 1][j - 1] + same);
        const swapped = i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1];
        if (swapped) least = Math.min(least, rows[i - 2][j - 2] + 1);
        rows[i].push(least);
      }
    }
    return rows[one.length][other.length];
  };

  const KEYS = ["qwertyuiop", "asdfghjkl", "zxcvbnm"];
  const place = (letter) => {
    const row = KEYS.findIndex((keys) => keys.includes(letter));
    return row < 0 ? undefined : { row, column: KEYS[row].indexOf(letter) };
  };
  // Whether two letters lie side by side on the keyboard; each row lies half a key to the right.
  const beside = (one, other) => {
    const [a, b] = [place(one), place(other)];
    if (!a || !b) return false;
    const columns = b.column - a.column;
    if (a.row === b.row) return Math.abs(columns) === 1;
    if (b.row - a.row === 1) return columns === 0 || columns === -1;
    return a.row - b.row === 1 && (columns === 0 || columns === 1);
  };

  const added = (typed, at) => {
    if (at > 0 && typed[at - 1] === typed[at]) return 1.9;
    const ending = at + 1 === typed.length ? 2.7 : 5;
    return [typed[at - 1], typed[at + 1]].some((one) => beside(one, typed[at])) ? Math.min(3.4, ending) : ending;
  };
  const changed = (meant, typed) => {
    if ("aeiouy".includes(meant) && "aeiouy".includes(typed)) return 2.6;
    return beside(meant, typed) ? 3.2 : 5.5;
  };
  const first = (at) => (at === 0 ? 1.5 : 0);
  // How dear it is to read what was typed as a slip of the word that was meant; as src/search/slip.rs does.
  const slipCost = (meant, typed) => {
    const rows = [];
    for (let i = 0; i <= meant.length; i += 1) {
      rows.push([]);
      for (let j = 0; j <= typed.length; j += 1) {
        let least = i + j === 0 ? 0 : Infinity;
        if (i > 0) {
          const double = i > 1 && meant[i - 1] === meant[i - 2];
          least = Math.min(least, rows[i - 1][j] + (double ? 0.6 : 1.1) + first(i - 1));
        }
        if (j > 0) least = Math.min(least, rows[i][j - 1] + added(typed, j - 1) + first(j - 1));
        if (i > 0 && j > 0) {
          let cost = 0;
          if (meant[i - 1] !== typed[j - 1]) {
            cost = changed(meant[i - 1], typed[j - 1]) + first(i - 1);
            if (i === meant.length && j === typed.length) cost = Math.min(cost, 2.7);
          }
          least = Math.min(least, rows[i - 1][j - 1] + cost);
        }
        if (i > 1 && j > 1 && meant[i - 1] === typed[j - 2] && meant[i - 2] === typed[j - 1]) {
          least = Math.min(least, rows[i - 2][j - 2] + 1.9 + first(i - 2));
        }
        rows[i].push(least);
      }
    }
    return rows[meant.length][typed.length];
  };

  // The known word that was probably meant, within so many slips.
  const nearest = (word, slips) => {
    const allowed = word.length >= 8 ? 2 : 1;
    if (word.length < 4 || slips > allowed || !/^[a-z]+$/.test(word)) return undefined;
    // The first letter is rarely the wrong one: words that begin with another are looked at where none with
    // the same one is a sure choice.
    const same = nearestOf(word, slips, (candidate) => candidate[0] === word[0]);
    const found = same && same.score >= 2 ? same : nearestOf(word, slips, () => true);
    return found && found.candidate;
  };

  const nearestOf = (word, slips, looked) => {
    let best;
    for (let length = word.length - slips; length <= word.length + slips; length += 1) {
      for (const candidate of (byLength.get(length) || []).filter(looked)) {
        if (distance(candidate, word) > slips) continue;
        const cost = slipCost(candidate, word);
        const often = Math.log(known.get(candidate).uses);
        const score = often - cost;
        if (cost <= word.length - 1.4 + 0.2 * often && (!best || score > best.score)) best = { candidate, score };
      }
    }
    return best;
  };

  // Two known words that were typed without the space between them.
  const parted = (word) => {
    let best;
    for (let end = 3; end <= word.length - 3; end += 1) {
      const parts = [word.slice(0, end), word.slice(end)];
      const uses = Math.min(...parts.map((part) => (known.get(part) || { uses: 0 }).uses));
      if (uses > 0 && (!best || uses >= best.uses)) best = { uses, parts };
    }
    return best && best.parts;
  };

  const knows = (word) =>
    word.length < 3 || /\d/.test(word) || known.has(word) || known.has(stem(word));

  // The words of a query as they are meant; what was corrected; what nothing is known about.
  const read = (typed) => {
    const [words, corrected, unknown] = [[], [], []];
    const correct = (shown, read) => {
      corrected.push([shown, read]);
      for (const plain of read.split(" ")) words.push({ plain, typed: plain, corrected: true });
    };
    for (let at = 0; at < typed.length; at += 1) {
      const word = typed[at];
      const next = typed[at + 1];
      const last = words[words.length - 1];
      const slip = () => {
        const foreign = /[^\x00-\x7f]/.test(word.typed) && word.plain.length < 6;
        if (corrected.length >= MOST_CORRECTIONS || foreign) return undefined;
        const two = parted(word.plain);
        return nearest(word.plain, 1) || (two && two.join(" ")) || nearest(word.plain, 2);
      };
      if (knows(word.plain)) words.push({ ...word, corrected: false });
      else if (next && known.has(word.plain + next.plain)) {
        correct(`${word.typed} ${next.typed}`, word.plain + next.plain);
        at += 1;
      } else if (last && known.has(last.plain + word.plain)) {
        words.pop();
        correct(`${last.typed} ${word.typed}`, last.plain + word.plain);
      } else {
        const meant = slip();
        if (meant) correct(word.typed, meant);
        else {
          unknown.push(word.typed);
          words.push({ ...word, corrected: false });
        }
      }
    }
    return { words, corrected, unknown };
  };

  return { split, read, stem };
})();
