// From a technician's words to fault classes: the terms, how much oftener a class uses each than all
// together, likeness to its phrases, the moment, the fault named. The sum is a logarithm of odds, as in
// a naive Bayes classifier; lists and weights come from the program's own index.
const search = (() => {
  const index = data.search;
  const { weights } = index;
  const list = (words) => words.split(" ");
  const DROPPED = list("a an the my our your its it is are i we they he she this that");
  const NEGATIONS = list("no not never isnt arent wasnt nicht");
  const LINKS = list("when while during on at in for any even if");
  const IN_ORDER = list("fine ok okay good normal perfect smooth well");
  const VERBS = list("run work look measur read test check meg seem start and was were be all both also goe go still");
  const SO_FAR = list("until till then for up to but");
  const COMMON = list("too over under up down out off to of with from by and as when then the one de la el di da do en al wont will doesnt does cant cannot goes gets get runs be there into all just so soon moment every very much many");
  const HOLLOW = list("a at be by doe in is it itself no not of off on out own same self since the to too up when will without");
  const PALE = list("again all back big both day down drive end invert left morn new off onc one other out over put right same set still time two up vfd vsd way week");
  const NAMED_VALUES = ["24v", "0hz", "0v", "0a"];
  const LONGEST_GROUP = 7;

  const prefixes = new Set();
  const codes = new Map();
  for (const [code, keys] of Object.entries(index.groups)) {
    for (const key of keys) {
      codes.set(key, code.split(" "));
      for (let at = key.indexOf(" "); at >= 0; at = key.indexOf(" ", at + 1)) prefixes.add(key.slice(0, at));
    }
  }
  // What a group of words stands for, by its stems.
  const groupOf = (key) => {
    const own = codes.get(key);
    if (own === undefined) return undefined;
    const marked = (mark) => own.filter((code) => code[0] === mark).map((code) => code.slice(1));
    return {
      means: marked("m").map((at) => index.meanings[at]),
      names: marked("n").map(Number),
      moments: marked("@"),
      short: marked("s").map((at) => index.shorts[at])[0],
      filler: own.includes("f"),
      outOfScope: own.includes("x"),
    };
  };

  // The documents in the order of the index: each class's phrases, title and meaning, and so on.
  const documents = [];
  index.classes.forEach((one, owner) => {
    for (let nth = 0; nth < one.phrases; nth += 1) documents.push({ part: "phrase", owner, nth });
    documents.push({ part: "title", owner }, { part: "meaning", owner });
  });
  index.causes.forEach((_, owner) => documents.push({ part: "causeName", owner }, { part: "causeWhat", owner }));
  index.questions.forEach((_, owner) => documents.push({ part: "question", owner }));
  index.checks.forEach((_, owner) => documents.push({ part: "check", owner }));
  // Behind them stand texts about other things.
  const owners = index.causes.map(() => []);
  index.classes.forEach((one, number) => one.causes.forEach(([cause, often]) => owners[cause].push([number, often])));
  const sizes = index.classes.map((one) => one.phrases + weights.title + weights.meaning_text);
  const allSizes = sizes.reduce((sum, size) => sum + size, 0);

  // The first half of the digits end a number, the second half say that a higher digit follows.
  const base = index.digits.length / 2;
  const holding = (term) => {
    if (!Object.prototype.hasOwnProperty.call(index.postings, term)) return [];
    const held = [];
    let [document, distance, worth] = [0, 0, 1];
    for (const written of index.postings[term]) {
      const digit = index.digits.indexOf(written);
      distance += (digit % base) * worth;
      worth *= base;
      if (digit < base) {
        held.push((document += distance));
        [distance, worth] = [0, 1];
      }
    }
    return held;
  };
  // Weight of Robertson and Spärck Jones (1976) without relevance information, kept above zero.
  const rarity = (count, all = documents.length) => Math.log(1 + Math.max(all - count + 0.5, 0) / (count + 0.5));
  const ofTheTrade = (number) => number < documents.length;
  for (const document of documents) document.length = 0;
  for (const term of Object.keys(index.postings)) {
    const held = holding(term).filter(ofTheTrade);
    for (const number of held) documents[number].length += rarity(held.length) ** 2;
  }

  // For each place the length of the group that starts there, so that long groups are kept whole.
  const cover = (stems) => {
    const best = new Array(stems.length + 1).fill(0);
    const groups = new Array(stems.length).fill(0);
    for (let at = stems.length - 1; at >= 0; at -= 1) {
      best[at] = best[at + 1];
      let key = "";
      for (let length = 1; length <= LONGEST_GROUP && at + length <= stems.length; length += 1) {
        key += (length > 1 ? " " : "") + stems[at + length - 1].stem;
        const worth = best[at + length] + length * length;
        const denial = NEGATIONS.includes(stems[at].stem);
        const better = worth > best[at] || (denial && worth === best[at]);
        if (groupOf(key) && better && !(denial && length === 1)) [best[at], groups[at]] = [worth, length];
        if (!prefixes.has(key)) break;
      }
    }
    return groups;
  };

  const negated = (stems, at) => {
    for (let place = at - 1; place >= 0; place -= 1) {
      const word = stems[place].stem;
      if (IN_ORDER.includes(word) && place + 1 < at) return true;
      if (NEGATIONS.includes(word)) return !stems[place + 1] || stems[place + 1].stem !== "only";
      if (!LINKS.includes(word) || at - place > 3) return false;
    }
    return false;
  };

  const inOrder = (stems, behind) => {
    const rest = stems.slice(behind).map((one) => one.stem);
    const at = rest.slice(0, 3).findIndex((word) => !VERBS.includes(word));
    if (at < 0 || !IN_ORDER.includes(rest[at])) return false;
    return rest[at + 1] === undefined || !SO_FAR.includes(rest[at + 1]);
  };

  // The parts of a meaning of several words: each word, and of three words each pair.
  const parts = (term) => {
    const words = term.split(" ");
    if (words.length < 2) return [];
    const telling = (word) => !HOLLOW.includes(word);
    const pairs = words.slice(1).map((word, at) => [words[at], word]);
    const told = words.length > 2 ? pairs.filter((pair) => pair.some(telling)) : [];
    return words.filter((word) => word.length > 2 && telling(word)).concat(told.map((pair) => pair.join(" ")));
  };

  // Words to terms, moments and names.
  const analyse = (words) => {
    const stems = words
      .map((word, place) => ({ stem: spelling.stem(word.plain), place }))
      .filter(({ place }) => !DROPPED.includes(words[place].plain));
    const shouted = words.length > 2 && !words.some((word) => /\p{Ll}/u.test(word.typed));
    const found = { terms: [], moments: [], notMoments: [], names: [], outOfScope: false };
    const push = (text, via, span, shown) => found.terms.push({ text, via, span, shown });

    const single = ({ stem, place }, at) => {
      if (NEGATIONS.includes(stem) || LINKS.includes(stem)) return;
      const { plain } = words[place];
      const span = [place, place + 1];
      if (/^\d/.test(plain)) {
        // Of a number its unit counts, not its value, but for the few that are names.
        const unit = plain.replace(/^[\d.]+/, "");
        if (unit !== "") push(`#${unit}`, "unit", span);
        if (!NAMED_VALUES.includes(plain)) return;
      }
      if (negated(stems, at)) push(`~${stem}`, "negated", span);
      else push(stem, "word", span);
    };

    const group = (entry, at, length) => {
      const span = [stems[at].place, stems[at + length - 1].place + 1];
      if (entry.outOfScope) found.outOfScope = true;
      const capitals = !shouted && words.slice(...span).every((word) => /\p{Lu}/u.test(word.typed));
      const short = entry.filler && !capitals ? undefined : entry.short;
      const weightless = entry.means.length === 0 && entry.moments.length === 0;
      if (entry.filler && !short && (weightless || entry.short)) {
        for (const { stem, place } of stems.slice(at, at + length)) {
          if (!/^\d/.test(words[place].plain)) push(stem, "filler", [place, place + 1]);
        }
        return;
      }
      const fine = entry.names.length === 0 && !entry.moments.includes("steady") && inOrder(stems, at + length);
      if (fine || negated(stems, at)) {
        found.notMoments.push(...entry.moments);
        for (const [, term] of entry.means) push(`~${term}`, "negated", span);
        return;
      }
      if (entry.names.length > 0) found.names.push({ classes: entry.names, short });
      for (const moment of entry.moments) {
        found.moments.push(moment);
        push(`@${moment}`, "moment", span, moment);
      }
      for (const [shown, term] of entry.means) {
        push(term, entry.names.length > 0 ? "name" : "meaning", span, shown);
        for (const part of parts(term)) push(part, "part", span);
      }
      for (const { stem, place } of stems.slice(at, at + length)) {
        const { plain } = words[place];
        const silent = [COMMON, NEGATIONS, LINKS].some((one) => one.includes(plain));
        if (plain.length > 1 && !silent) push(stem, length === 1 ? "word" : "part", [place, place + 1]);
      }
    };

    const groups = cover(stems);
    for (let at = 0; at < stems.length; at += Math.max(groups[at], 1)) {
      const key = stems.slice(at, at + groups[at]).map((one) => one.stem).join(" ");
      if (groups[at] > 0) group(groupOf(key), at, groups[at]);
      else single(stems[at], at);
    }
    // Each term once, by the way it came about first.
    const seen = new Set();
    found.terms = found.terms.filter(({ text }) => !seen.has(text) && seen.add(text));
    return found;
  };

  const WEIGHT = {
    word: weights.word, meaning: weights.meaning, name: weights.name_term, unit: weights.unit,
    part: weights.part, moment: weights.moment_term, negated: weights.negated, filler: weights.filler,
  };
  const BACKGROUND = { name: weights.background_name, meaning: weights.background_meaning, moment: weights.background_meaning };
  const WORTH = {
    phrase: 1, title: weights.title, meaning: weights.meaning_text,
    causeName: weights.cause_name, causeWhat: weights.cause_what,
  };
  // The usual constants of BM25.
  const [SATURATION, LONG] = [1.2, 0.75];
  const NEARLY_EXACT = 0.9;
  const WHAT_BESIDE_NAME = 0.5;

  // Evidence besides the terms: the moment, the fault named, codes.
  const besides = (query, one, number) => {
    let evidence = 0;
    const share = (moment) => one.moments[moment] || 0;
    const named = query.moments.map(share);
    if (Object.keys(one.moments).length > 0 && named.length > 0) {
      evidence += weights.moment * Math.log((Math.max(...named) + 0.1) / 0.3);
    }
    for (const moment of query.notMoments) {
      evidence += weights.moment * Math.log((1.1 - share(moment)) / 0.9);
    }
    for (const { classes, short } of query.names) {
      const weight = short ? weights.short_name : weights.name;
      if (classes.includes(number)) evidence += weight / Math.sqrt(classes.length);
    }
    return query.codes.some(({ code }) => one.codes.includes(code)) ? evidence + weights.code : evidence;
  };

  // Classes, causes and checks, best first.
  const rank = (query) => {
    const classes = index.classes.map((one, number) => ({ id: one.id, number, evidence: 0, group: 0, saturated: 0, likeness: 0, alike: 0, reasons: [] }));
    const elsewhere = { evidence: 0, group: 0 };
    const items = { causeName: index.causes.map(() => 0), question: index.questions.map(() => 0), check: index.checks.map(() => 0) };
    const products = new Map();
    let length = 0;
    // The terms of a group of words say the same thing several times: their sum counts in full only
    // while it is small.
    const closeGroup = () => {
      for (const one of [...classes, elsewhere]) {
        one.evidence += one.group / Math.sqrt(1 + (one.group / weights.group) ** 2);
        one.group = 0;
      }
    };
    // Words of a group whose meaning is known, and those that say little: where no text holds such a word
    // itself, nothing is missing from the likeness.
    const saidOtherwise = new Set();
    for (const { via, span } of query.terms) {
      if (via === "filler") saidOtherwise.add(span.join());
      if (!["meaning", "name", "moment"].includes(via)) continue;
      for (let word = span[0]; word < span[1]; word += 1) saidOtherwise.add(`${word},${word + 1}`);
    }
    let groupEnd = 0;
    const inPlace = query.terms.slice().sort((one, other) => one.span[0] - other.span[0] || one.span[1] - other.span[1]);
    for (const term of inPlace) {
      if (term.span[0] >= groupEnd) closeGroup();
      groupEnd = Math.max(groupEnd, term.span[1]);
      const all = holding(term.text);
      const held = all.filter(ofTheTrade);
      const rare = rarity(held.length);
      if (all.length > 0 || !saidOtherwise.has(term.span.join())) length += rare * rare;
      const counts = classes.map(() => 0);
      for (const number of held) {
        const { part, owner } = documents[number];
        products.set(number, (products.get(number) || 0) + rare * rare);
        if (part === "phrase" || part === "title" || part === "meaning") counts[owner] += WORTH[part];
        else if (WORTH[part]) for (const [one, often] of owners[owner]) counts[one] += WORTH[part] * often;
      }
      const share = counts.reduce((sum, count) => sum + count, 0) / allSizes;
      const corrected = query.words.slice(...term.span).some((word) => word.corrected);
      const weight = WEIGHT[term.via] * (corrected ? weights.corrected : 1) * (PALE.includes(term.text) ? weights.pale : 1);
      const background = BACKGROUND[term.via] || weights.background;
      const others = all.length - held.length + background;
      elsewhere.group += weight * Math.log(others / (share * index.elsewhere + background));
      if (share <= 0) continue;
      const telling = weight * rarity(counts.filter((count) => count > 0).length, classes.length);
      for (const one of classes) {
        const [count, size] = [counts[one.number], sizes[one.number]];
        let evidence = weight * Math.log((count + background) / (share * size + background));
        if (evidence < 0) evidence *= weights.against;
        const long = 1 - LONG + (LONG * size * sizes.length) / allSizes;
        one.saturated += (telling * (SATURATION + 1) * count) / (count + SATURATION * long);
        one.group += evidence;
        one.reasons.push([evidence, term]);
      }
    }
    closeGroup();
    for (const [number, product] of products) {
      const { part, owner, length: own } = documents[number];
      const alike = product / (Math.sqrt(own) * Math.sqrt(length));
      if (part === "phrase" || part === "title") {
        classes[owner].alike += alike * alike;
        classes[owner].likeness = Math.max(classes[owner].likeness, alike);
      }
      if (part === "causeName") items.causeName[owner] += alike;
      if (part === "causeWhat") items.causeName[owner] += WHAT_BESIDE_NAME * alike;
      if (part === "question" || part === "check") items[part][owner] += alike;
    }
    for (const one of classes) {
      const exact = Math.max(one.likeness - NEARLY_EXACT, 0) / (1 - NEARLY_EXACT);
      one.evidence += weights.likeness * one.likeness + weights.exact * exact +
        weights.alike * Math.log1p(one.alike / weights.few_alike) + weights.saturated * one.saturated + besides(query, index.classes[one.number], one.number);
    }
    classes.sort((one, other) => other.evidence - one.evidence);
    const best = (list, ids) => list
      .map((likeness, number) => ({ id: ids[number], likeness }))
      .filter((item) => item.likeness > 0)
      .sort((one, other) => other.likeness - one.likeness);
    return {
      classes,
      elsewhere: elsewhere.evidence,
      causes: best(items.causeName, index.causes),
      questions: best(items.question, index.questions),
      checks: best(items.check, index.checks),
    };
  };

  // How sure it is that the query is about something known here, 0 to 1: the logistic regression of
  // src/search/sureness.rs.
  const sureness = (query, ranking) => {
    if (query.codes.some(({ code }) => index.classes.some((one) => one.codes.includes(code)))) return 1;
    if (query.terms.every(({ via }) => via === "filler") && query.names.length === 0) return 0;
    const [{ likeness, evidence }] = ranking.classes;
    const between = (least, value, most) => Math.min(Math.max(value, least), most);
    const drive = query.terms.some(({ text }) => text === "drive" || text.startsWith("dc bus"));
    const meanings = query.terms.filter(({ via }) => via === "meaning").length;
    let odds = likeness + 0.36 * between(0, evidence, 10) - 0.64 * between(-12, ranking.elsewhere, 12) +
      0.1 * Math.min(meanings, 3) - 4.1;
    if (drive) odds += 2.6;
    if (query.moments.length > 0) odds += 1.5;
    if (query.outOfScope) odds -= (drive ? 3.9 : 5.6) * Math.min(12 / Math.max(query.words.length, 1), 1);
    if (likeness >= NEARLY_EXACT) odds += 10;
    return 1 / (1 + Math.exp(-odds));
  };

  const SOFTNESS = 1.1;
  const LEAST_SURE = 0.45;
  const LEAST_SCORE = 0.06;

  // A CiA 402 error code as four hex digits: `3210`, `3210h`, `0x3210`.
  const standardCode = (plain) => {
    const [, digits] = /^(?:0x)?([0-9a-f]{4})h?$/.exec(plain) || [];
    return digits && /^[\df]/.test(digits) ? { code: digits.toUpperCase() } : undefined;
  };

  // A few letters and a number, such as a maker prints on a display: never to be guessed at.
  const NO_CODES = ["pt100", "pt1000", "i2t", "ip20", "ip54", "ip55", "ip65"];
  const isMakerCode = (plain) =>
    /^[a-z]{1,3}\d{1,5}.?$/.test(plain) && !/^[lmtuvwkqrs]\d$/.test(plain) && !NO_CODES.includes(plain);
  const BEFORE_NUMBER = list("err error fault flt alm alrm alarm code fehler display");

  const makerCodes = (words) => words.flatMap((word, place) => {
    if (isMakerCode(word.plain) && !groupOf(word.plain)) return [word.typed];
    const before = words[place - 1];
    const numbered = before && /^\d{1,3}$/.test(word.plain);
    const letter = before && words.length === 2 && /^[a-z]{1,2}$/.test(before.plain) && !/\p{Ll}/u.test(before.typed);
    return numbered && (letter || BEFORE_NUMBER.includes(before.plain)) ? [`${before.typed} ${word.typed}`] : [];
  });

  // OC3: the letters are of the trade, only the figure is the maker's.
  const withoutFigure = (word) => {
    const [letters] = /^[a-z]*/.exec(word.plain);
    const entry = isMakerCode(word.plain) && letters.length >= 2 && groupOf(letters);
    return entry && entry.short ? { ...word, plain: letters } : word;
  };

  // What was found: hits best first, or none and why.
  const find = (text) => {
    const typed = spelling.split(text);
    const codes = typed.map((word) => standardCode(word.plain)).filter(Boolean);
    const maker = makerCodes(typed);
    const read = spelling.read(typed.map(withoutFigure));
    const query = { ...read, ...analyse(read.words), codes };
    const ranking = rank(query);
    const sure = sureness(query, ranking);
    const best = ranking.classes[0].evidence;
    const odds = ranking.classes.map((one) => Math.exp((one.evidence - best) / SOFTNESS));
    const all = odds.reduce((sum, one) => sum + one, 0);
    const found = {
      corrected: read.corrected, unknown: read.unknown, makerCodes: maker,
      outOfScope: query.outOfScope, defeats: query.terms.some(({ text }) => text === "protect defeat"), classes: [], causes: [], questions: [], checks: [],
    };
    if (sure < LEAST_SURE || sure / all < LEAST_SCORE) return found;
    found.classes = ranking.classes
      .map((one, at) => ({ id: one.id, share: (sure * odds[at]) / all, words: reasons(query, one) }))
      .filter(({ share }, at) => share >= (at < 3 ? 0.0005 : 0.02) * (sure / all));
    found.causes = ranking.causes.filter((one) => one.likeness >= 0.55).slice(0, 3);
    found.questions = ranking.questions.filter((one) => one.likeness >= 0.5).slice(0, 2);
    found.checks = ranking.checks.filter((one) => one.likeness >= 0.5).slice(0, 2);
    return found;
  };

  // The words that speak most for a class, each once.
  const reasons = (query, one) => {
    const told = one.reasons
      .filter(([evidence, { via }]) => evidence >= 0.1 && !["part", "negated", "unit", "filler"].includes(via))
      .sort(([first], [second]) => second - first)
      .map(([, { span }]) => query.words.slice(...span).map((word) => word.typed).join(" "));
    return Array.from(new Set(told)).slice(0, 5);
  };

  return { find };
})();
