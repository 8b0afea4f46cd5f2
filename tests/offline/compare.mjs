// Compares the page's sums with the program's own, point by point.
//
//   node tests/offline/compare.mjs PROGRAM [POINTS [CHECK...]]
//
// Every check is computed on its worked example and on POINTS random points inside the limits of its
// inputs, readings present and absent; both sides must give the same results and the same remarks, or
// refuse with the same words. Then parts of the inputs are handed over alone, as before a measurement.
import { execFile } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { isDeepStrictEqual, promisify } from "node:util";
import vm from "node:vm";

import { EDGES, SIZES } from "./edges.mjs";
import { inUnit, readTyped, toSi } from "./units.mjs";

const SUMS = new URL("../../src/offline/script/checks/", import.meta.url);
const AGREEMENT = 1e-9;
const POOL = 3;
const SHOWN_FAILURES = 20;

const [program, points = "40", ...names] = process.argv.slice(2);
const run = promisify(execFile);

class Contradiction extends Error {}
class Missing extends Error {}

// The sums as the page loads them: classic scripts in strict mode, what they share first.
const loadSums = () => {
  const files = readdirSync(SUMS).filter((file) => file.endsWith(".js") && file !== "shared.js");
  const text = ["shared.js", ...files].map((file) => readFileSync(new URL(file, SUMS), "utf8"));
  const context = vm.createContext({ sums: {}, Contradiction, Missing });
  vm.runInContext(`"use strict";\n${text.join("\n")}`, context);
  return context.sums;
};

// Random numbers that are the same on every run.
let state = 20240917;
const random = () => {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return ((state >>> 8) + 0.5) / 2 ** 24;
};
const pick = (list) => list[Math.floor(random() * list.length)];
const normal = () => random() + random() + random() + random() - 2;

const ROUND = [1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8];

const exampleOf = (check) => new Map(check.example.inputs);
const edgesOf = (check) =>
  (EDGES[check.check] || []).flatMap(([before, values]) => {
    const set = before.split(" ");
    const moved = set.pop();
    const fixed = set.map((pair) => pair.split("="));
    return values
      .split(" ")
      .map((value) => new Map([...exampleOf(check), ...fixed, [moved, value]]));
  });

// A value as it would be typed, in the unit of the input.
const randomValue = (input, example) => {
  const own = (text) => inUnit(readTyped(text, input.unit), input.unit);
  const least = own(input.least);
  const most = own(input.most);
  if (SIZES[input.name] && random() < 0.7) return pick(SIZES[input.name]);
  const way = random();
  let value;
  if (example !== undefined && way < 0.4) {
    value = own(example) * Math.exp(normal() / 2) + (own(example) === 0 ? normal() : 0);
  } else if (way < 0.45) {
    value = pick([least, most]);
  } else if (way < 0.7 && (least <= 0 || most / least < 100)) {
    value = least + random() * (most - least);
    if (random() < 0.5) value = Math.round(value);
  } else {
    const floor = least > 0 ? least : Math.max(most * 1e-6, 1e-9);
    const size = floor * Math.exp(random() * Math.log(most / floor));
    const power = 10 ** Math.floor(Math.log10(size));
    value = way < 0.85 ? pick(ROUND) * power : size;
    if (least < 0 && random() < 0.4) value *= least / most;
    if (least <= 0 && random() < 0.08) value = 0;
  }
  if (input.quantity === "plain number" && random() < 0.6) value = Math.round(value);
  value = Number(value.toPrecision(pick([2, 3, 6])));
  return String(Math.min(Math.max(value, least), most));
};

const randomInputs = (check, presence) => {
  const example = exampleOf(check);
  const typed = new Map();
  for (const input of check.inputs) {
    if (!presence(input)) continue;
    const value = input.choices.length
      ? pick(input.choices)
      : randomValue(input, example.get(input.name));
    typed.set(input.name, /[^\d.e-]/.test(value) ? value : value + input.unit);
  }
  return typed;
};

// The inputs of a check in SI, with what is assumed filled in.
const inSi = (check, typed) => {
  const inputs = {};
  for (const input of check.inputs) {
    const own = typed.has(input.name) ? typed.get(input.name) : input.default;
    if (input.choices.length) inputs[input.name] = own || input.choices[0];
    else if (own !== null && own !== undefined) inputs[input.name] = readTyped(own, input.unit);
  }
  return inputs;
};

const NOTHING = { results: {}, notes: [] };
const refusal = (text) => ({ refused: text.replace(/\s+/g, " ").trim() });

const byPage = (sums, check, typed) => {
  try {
    const { notes = [], ...results } = sums[check.check](inSi(check, typed));
    const odd = check.outputs.find(
      ({ name, quantity }) =>
        name in results && quantity !== "word" && !Number.isFinite(results[name]),
    );
    if (odd) {
      return refusal(
        `${odd.name} can't be computed from these inputs (${check.check}); ${check.valid}`,
      );
    }
    return { results, notes: [...notes] };
  } catch (error) {
    if (error instanceof Contradiction) return refusal(error.message);
    throw error;
  }
};

const readResults = ({ outputs, notes }) => ({
  results: Object.fromEntries(
    outputs.map(({ name, value, unit }) => [
      name,
      typeof value === "string" ? value : toSi(value, unit),
    ]),
  ),
  notes,
});
const pairs = (typed) => [...typed].map(([name, value]) => `${name}=${value}`);
const SETTINGS = ["--json", "--no-input", "--width", "1000"];

const byProgram = async (check, typed) => {
  try {
    const { stdout } = await run(program, ["check", check.check, ...pairs(typed), ...SETTINGS]);
    return readResults(JSON.parse(stdout));
  } catch (error) {
    if (error.code === 1 && error.stdout) return readResults(JSON.parse(error.stdout));
    const text = error.stderr.split(/\n(?:cause|next):/)[0].replace(/^error: /, "");
    return refusal(text);
  }
};

// What the program makes of a part of the inputs, by check.
const partsByProgram = async (typed) => {
  try {
    const { stdout } = await run(program, ["check", "--all", ...pairs(typed), ...SETTINGS]);
    return new Map(JSON.parse(stdout).checks.map((own) => [own.check, readResults(own)]));
  } catch (error) {
    if (error.code === 1) return new Map();
    // An input of the same name in another check may have other limits or choices.
    if (/ is outside | is not a choice|no insulation tester shows/.test(error.stderr))
      return undefined;
    throw new Error(`${pairs(typed).join(" ")}: ${error.stderr}`);
  }
};

const largest = { error: 0, at: "" };
let compared = 0;
let refused = 0;
let failures = 0;
const fail = (check, typed, why) => {
  failures += 1;
  if (failures <= SHOWN_FAILURES)
    console.error(`${check.check} ${pairs(typed).join(" ")}\n  ${why}`);
};

const compare = (check, typed, page, own) => {
  compared += 1;
  if (own.refused) refused += 1;
  const told = (side) => JSON.stringify(side);
  if (page.refused !== own.refused || !isDeepStrictEqual(page.notes, own.notes)) {
    fail(check, typed, `page ${told(page)}\n  program ${told(own)}`);
    return;
  }
  if (own.refused) return;
  const names = Object.keys(own.results);
  if (!isDeepStrictEqual(names, Object.keys(page.results))) {
    fail(check, typed, `page ${Object.keys(page.results)}\n  program ${names}`);
    return;
  }
  for (const name of names) {
    const [here, there] = [page.results[name], own.results[name]];
    const size = Math.max(Math.abs(here), Math.abs(there));
    const error = here === there ? 0 : Math.abs(here - there) / size;
    if (error > largest.error)
      Object.assign(largest, { error, at: `${check.check} ${name} ${pairs(typed).join(" ")}` });
    if (!(error <= AGREEMENT)) fail(check, typed, `${name}: page ${here}, program ${there}`);
  }
};

const sums = loadSums();
const { stdout } = await run(program, ["check", "--list", "--json"], { maxBuffer: 1 << 26 });
const all = JSON.parse(stdout).checks;
const checks = all.filter(({ check }) => !names.length || names.includes(check));
const lacking = checks.filter(({ check }) => !sums[check]);
for (const { check } of lacking) console.error(`no sum for ${check}`);
for (const name of [...Object.keys(sums), ...Object.keys(EDGES)]) {
  if (!all.some(({ check }) => check === name)) throw new Error(`there is no check ${name}`);
}

const whole = async (check, typed) =>
  compare(check, typed, byPage(sums, check, typed), await byProgram(check, typed));
const part = async (check, typed) => {
  const own = await partsByProgram(typed);
  if (!own) return;
  const page = byPage(sums, check, typed);
  const empty = page.refused || !Object.keys(page.results).length;
  if (own.has(check.check) || !empty) {
    compare(check, typed, page, own.get(check.check) || NOTHING);
  }
};

const jobs = [];
for (const check of checks.filter((check) => !lacking.includes(check))) {
  for (const typed of [exampleOf(check), ...edgesOf(check)]) jobs.push(() => whole(check, typed));
  for (let n = 0; n < Number(points); n += 1) {
    const typed = randomInputs(check, (input) => input.required || random() < 0.7);
    jobs.push(() => whole(check, typed));
  }
  for (let n = 0; n < Number(points) / 4; n += 1) {
    const typed = randomInputs(check, () => random() < 0.6);
    if (typed.size) jobs.push(() => part(check, typed));
  }
}
const worker = async () => {
  for (let job = jobs.shift(); job; job = jobs.shift()) await job();
};
await Promise.all(Array.from({ length: POOL }, worker));
console.log(
  `${checks.length} checks, ${compared} points, ${refused} refused by both, ${failures} failures; largest difference ${largest.error} (${largest.at})`,
);
process.exitCode = failures || lacking.length ? 1 : 0;
