// The sums of the supply.
// src/checks/supply.rs explains each with its source; these give the same.
{
  const PLAIN_WORDS = ["normal", "tolerated", "outside"];
  const RANGES = ["range A", "range B", "outside"];

  const VOLTAGE_RULES = {
    "en-50160": {
      normal: [0.9, 1.1],
      tolerated: [0.85, 1.1],
      words: PLAIN_WORDS,
      note: "EN 50160, public low voltage: ±10 % for 95 % of a week, +10/-15 % always (from memory). It leaves industrial networks out.",
    },
    "iec-60038": {
      normal: [0.9, 1.1],
      tolerated: [0.9, 1.1],
      words: PLAIN_WORDS,
      note: "IEC 60038, supply terminals: ±10 % (from memory).",
    },
    "iec-61000-2-4-class-2": {
      normal: [0.9, 1.1],
      tolerated: [0.9, 1.1],
      words: PLAIN_WORDS,
      note: "IEC 61000-2-4 class 2, industrial network: ±10 % (from memory).",
    },
    "iec-61000-2-4-class-3": {
      normal: [0.85, 1.1],
      tolerated: [0.85, 1.1],
      words: PLAIN_WORDS,
      note: "IEC 61000-2-4 class 3, industrial network with large drives: +10/-15 % (from memory).",
    },
    "ansi-c84-1-service": {
      normal: [114 / 120, 126 / 120],
      tolerated: [110 / 120, 127 / 120],
      words: RANGES,
      note: "ANSI C84.1 at the service entrance, on the 120 V base; its table rounds to whole volts (from memory).",
    },
    "ansi-c84-1-utilization": {
      normal: [108 / 120, 126 / 120],
      tolerated: [104 / 120, 127 / 120],
      words: RANGES,
      note: "ANSI C84.1 at the equipment, circuits without lighting, on the 120 V base; its table rounds to whole volts (from memory).",
    },
    "ansi-c84-1-lighting": {
      normal: [110 / 120, 125 / 120],
      tolerated: [106 / 120, 127 / 120],
      words: RANGES,
      note: "ANSI C84.1 at the equipment, circuits with lighting, on the 120 V base; its table rounds to whole volts (from memory).",
    },
  };

  const FREQUENCY_RULES = {
    interconnected: {
      normal: [0.99, 1.01],
      tolerated: [0.94, 1.04],
      words: PLAIN_WORDS,
      note: "EN 50160, interconnected grid: ±1 % for 99.5 % of a year, +4/-6 % always (from memory); applied to 60 Hz in proportion (common practice).",
    },
    island: {
      normal: [0.98, 1.02],
      tolerated: [0.85, 1.15],
      words: PLAIN_WORDS,
      note: "EN 50160, island network: ±2 % for 95 % of a week, ±15 % always (from memory); applied to 60 Hz in proportion (common practice).",
    },
  };

  const VOLTAGE_DISTORTION_LIMIT = 0.08;

  const motorToleranceUsed = (voltage, frequency) =>
    Math.max(
      Math.abs(voltage) / 0.1,
      Math.abs(frequency) / 0.05,
      (Math.abs(voltage) + Math.abs(frequency)) / 0.1,
    );

  // Deviation, word and overshoot over both ranges of a rule, for a value relative to nominal.
  const judgedBy = (allowed, relative) => {
    if (relative === undefined) return {};
    const beyondNormal = beyond(relative, allowed.normal);
    const beyondTolerated = beyond(relative, allowed.tolerated);
    const [normal, tolerated, outside] = allowed.words;
    return {
      deviation: relative - 1,
      range: beyondNormal > 0 ? (beyondTolerated > 0 ? outside : tolerated) : normal,
      beyond_normal: beyondNormal,
      beyond_tolerated: beyondTolerated,
    };
  };

  sums["supply-band"] = (i) => {
    const allowed = VOLTAGE_RULES[i.rule];
    const at = (share) => given((nominal) => nominal * share, i.supply_voltage);
    return known({
      ...judgedBy(allowed, ratio(i.line_voltage, i.supply_voltage)),
      lowest_voltage: at(allowed.normal[0]),
      highest_voltage: at(allowed.normal[1]),
      lowest_tolerated: at(allowed.tolerated[0]),
      highest_tolerated: at(allowed.tolerated[1]),
      notes: [allowed.note],
    });
  };

  sums["supply-lines"] = (i) => {
    const lines = [i.voltage_l1_l2, i.voltage_l2_l3, i.voltage_l3_l1];
    const spread = given(voltageSpread, ...lines);
    const against = (pick) => deviation(given(pick, ...lines), i.supply_voltage);
    return known({
      mean_deviation: spread && deviation(spread.mean, i.supply_voltage),
      lowest_deviation: against(Math.min),
      highest_deviation: against(Math.max),
      unbalance: spread && spread.unbalance,
    });
  };

  sums["supply-frequency"] = (i) => {
    const allowed = FREQUENCY_RULES[i.network];
    const at = (share) => given((nominal) => nominal * share, i.supply_frequency);
    return known({
      ...judgedBy(allowed, ratio(i.measured_frequency, i.supply_frequency)),
      lowest_frequency: at(allowed.normal[0]),
      highest_frequency: at(allowed.normal[1]),
      lowest_tolerated: at(allowed.tolerated[0]),
      highest_tolerated: at(allowed.tolerated[1]),
      notes: [allowed.note],
    });
  };

  sums["supply-dip"] = (i) =>
    known({
      dip: given(
        (before, during) => (before - during) / before,
        i.voltage_before,
        i.voltage_during,
      ),
    });

  sums["supply-distortion"] = (i) =>
    known({
      limit: VOLTAGE_DISTORTION_LIMIT,
      share: ratio(i.voltage_distortion, VOLTAGE_DISTORTION_LIMIT),
    });

  sums["line-fed-motor-supply"] = (i) => {
    const rated = i.motor_rated_voltage;
    const voltage = deviation(i.line_voltage, rated);
    const frequency = deviation(i.measured_frequency, i.motor_rated_frequency);
    const used = given(
      (off) => motorToleranceUsed(off, frequency === undefined ? 0 : frequency),
      voltage,
    );
    const outside = beyond(used, [0, 1]) > 0;
    return known({
      lowest_voltage: given((volts) => volts * 0.9, rated),
      highest_voltage: given((volts) => volts * 1.1, rated),
      voltage_deviation: voltage,
      frequency_deviation: frequency,
      tolerance_used: given((share) => (outside ? share : Math.min(share, 1)), used),
      range: given(() => (outside ? "outside" : "within"), used),
      notes: frequency === undefined ? ["Frequency not measured: taken as rated."] : undefined,
    });
  };
}
