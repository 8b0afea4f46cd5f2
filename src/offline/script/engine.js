// Runs a check: limits, assumptions, the sum, its uncertainty, the verdict; as the program does.
const engine = (() => {
  const COVERAGE = 2; // an interval is told as twice the standard uncertainty

  // Standard uncertainty of a reading (JCGM 100:2008, 4.3.7: a rectangle of the limit of error).
  const standardUncertainty = (kind, reading) => {
    const rows = data.kinds[kind].accuracy.filter(([from]) => from === 0 || reading.si >= from);
    const [, percent, digits, fixed] = rows[rows.length - 1];
    const size = Math.abs(reading.si - (kind === "Temperature" ? 273.15 : 0));
    return ((percent / 100) * size + digits * reading.resolution + fixed) / Math.sqrt(3);
  };

  const withinLimits = (input, si) => {
    const [least, most] = input.limits || [-Infinity, Infinity];
    // A limit that is typed as it is shown may differ from itself by the last bit.
    const hair = (limit) => (Number.isFinite(limit) ? Math.abs(limit) * 1e-12 : 0);
    if (si >= least - hair(least) && si <= most + hair(most)) return;
    const show = (value) => units.show(input.kind, value);
    throw new Refused(`${show(si)} is outside ${show(least)} to ${show(most)}`);
  };

  // What is typed for an input: a reading, or a word where it is a choice.
  const read = (input, typed, unit) => {
    if (input.choices) {
      if (!input.choices.includes(typed)) throw new Refused(`choose one of ${input.choices.join(", ")}`);
      return typed;
    }
    // An efficiency of 0.88 is no 0.88 %.
    const bare = unit || input.unit;
    const number = Number(typed.trim().replace(",", "."));
    const share = bare === "%" && typed.trim() !== "" && number >= 0 && number <= 1 && number / 100 < input.limits[0];
    const reading = units.parse(input.kind, typed, share ? "×" : bare, input.example);
    if (input.unit === "MΩ" && reading.si > 0 && reading.si < 1) {
      throw new Refused(
        `"${typed.trim()}" is ${units.show(input.kind, reading.si)}, which no insulation tester shows; for megohms write ${input.example}`);
    }
    return reading;
  };

  // A voltmeter over its range tells nothing of the voltage, but for a diode range.
  const isAReading = (input, reading) => {
    const below = input.limits && reading.si < input.limits[1];
    if (input.kind === "Voltage" && reading.bound === "least" && below) {
      throw new Contradiction(
        "over the meter's range is not a voltage; choose a higher range and read again");
    }
  };

  const holds = ([, side, limit], value) => {
    const rounding = 1e-12 * Math.abs(limit); // on the limit, but for rounding, is not beyond it
    return side === "<" ? value < limit - rounding : value > limit + rounding;
  };

  // The inputs of a sum: given, assumed, or left out.
  const gather = (check, given) => {
    const all = { values: {}, assumed: [], uncertain: [] };
    for (const input of check.inputs) {
      const own = given[input.name];
      if (own === undefined && input.choices) {
        all.values[input.name] = input.choices[0];
      } else if (own === undefined && input.assumed !== undefined) {
        all.values[input.name] = units.parse(input.kind, input.assumed, input.unit).si;
        all.assumed.push(input.name);
      } else if (own === undefined) {
        if (!input.optional) throw new Missing(input.name);
      } else if (typeof own === "string") {
        all.values[input.name] = own;
      } else {
        try {
          isAReading(input, own);
          withinLimits(input, own.si);
        } catch (error) {
          error.input = input.name;
          throw error;
        }
        all.values[input.name] = own.si;
        if (input.reading && own.bound === "exact") {
          all.uncertain.push([input.name, standardUncertainty(input.kind, own)]);
        }
      }
    }
    return all;
  };

  // u² = Σ (∂f/∂x · u)², each sensitivity as half the change over one u to either side (JCGM 100:2008,
  // 5.1.2 and 5.1.3).
  const propagate = (sum, values, middle, uncertain) => {
    const squares = {};
    const shifted = (name, by) => {
      try {
        return sum({ ...values, [name]: values[name] + by });
      } catch {
        return {};
      }
    };
    for (const [name, u] of uncertain.filter(([, size]) => size > 0)) {
      const [up, down] = [shifted(name, u), shifted(name, -u)];
      for (const [output, value] of Object.entries(middle)) {
        if (typeof value !== "number") continue;
        const [high, low] = [up[output], down[output]];
        const change = Number.isFinite(high) && Number.isFinite(low) ? (high - low) / 2
          : Number.isFinite(high) ? high - value
            : Number.isFinite(low) ? low - value : 0;
        squares[output] = (squares[output] || 0) + change * change;
      }
    }
    return squares;
  };

  // The first band that holds; none where the judged output is not known.
  const judge = (bands, outputs) => {
    const known = (name) => outputs.find((output) => output.name === name);
    const at = (shift) => bands.findIndex(({ when }) => {
      if (!when) return true;
      const output = known(when[0]);
      return output !== undefined && typeof output.value === "number" &&
        holds(when, output.value + shift * output.uncertainty);
    });
    const judged = bands.every(({ when, only_if_known: only }) => !when || only || known(when[0]));
    const band = judged ? at(0) : -1;
    if (band < 0) return undefined;
    const { verdict } = bands[band];
    const same = (shift) => at(shift) >= 0 && bands[at(shift)].verdict === verdict;
    return { band, verdict, conclusive: same(COVERAGE) && same(-COVERAGE) };
  };

  // The first template whose names are all known.
  const expectation = (check, values, outputs) => {
    const shown = (name) => {
      const output = outputs.find((one) => one.name === name);
      if (output && typeof output.value === "number") return units.show(output.kind, output.value);
      const input = check.inputs.find((one) => one.name === name);
      return input && typeof values[name] === "number" ? units.show(input.kind, values[name]) : undefined;
    };
    for (const template of check.expect || []) {
      const names = (template.match(/\{\w+\}/g) || []).map((name) => name.slice(1, -1));
      if (names.every((name) => shown(name) !== undefined)) {
        return template.replace(/\{(\w+)\}/g, (_, name) => shown(name));
      }
    }
    return undefined;
  };

  // All that a check gives. `given` holds readings and words by the names of the inputs.
  const evaluate = (name, given) => {
    const check = data.checks[name];
    const { values, assumed, uncertain } = gather(check, given);
    const { notes = [], ...results } = sums[name](values);
    for (const [output, value] of Object.entries(results)) {
      if (typeof value === "number" && !Number.isFinite(value)) {
        throw new Contradiction(`${output.replace(/_/g, " ")} can't be computed from these inputs`);
      }
    }
    const squares = propagate(sums[name], values, results, uncertain);
    const outputs = check.outputs
      .filter((output) => results[output.name] !== undefined)
      .map((output) => ({
        ...output,
        value: results[output.name],
        uncertainty: Math.sqrt(squares[output.name] || 0),
      }));
    const odd = (check.doubtful || [])
      .map((when) => [when, outputs.find((output) => output.name === when[0])])
      .find(([when, output]) => output && holds(when, output.value));
    return {
      values,
      assumed,
      outputs,
      judgement: judge(check.bands || [], outputs),
      expected: expectation(check, values, outputs),
      doubt: odd && odd[1],
      notes,
    };
  };

  // A result as the program shows it, with its uncertainty where there is one.
  const show = (output) => {
    if (typeof output.value !== "number") return { text: output.value, interval: "" };
    const text = units.show(output.kind, output.value);
    const unit = output.unit || "";
    const at = (si) => units.inUnit(output.kind, si, unit);
    const spread = COVERAGE * Math.abs(at(output.value + output.uncertainty) - at(output.value));
    const interval = output.uncertainty > 0 && Number.isFinite(spread)
      ? `± ${units.significant(spread, 2)} ${unit}` : "";
    return { text, interval };
  };

  return { evaluate, read, show };
})();
