// The sums of dips and interruptions.
// src/checks/ride_through.rs explains each with its source; these give the same.
{
  const falls = (start, end) => {
    if (end < start) return;
    throw new Contradiction(
      "the bus starts at or below its undervoltage limit: it can't carry anything; " +
        "check bus voltage and limit",
    );
  };
  const rideThroughTime = (capacitance, power, start, end) => {
    falls(start, end);
    return (capacitance * (start * start - end * end)) / (power * 2);
  };
  const rideThroughCapacitance = (time, power, start, end) => {
    falls(start, end);
    return (power * time * 2) / (start * start - end * end);
  };

  // Points of an immunity curve: remaining voltage, then how long it must be stood, in seconds on
  // a supply of 50 Hz and of 60 Hz.
  const cycles = (remaining, at50, at60) => [remaining, at50 / 50, at60 / 60];
  const seconds = (remaining, duration) => [remaining, duration, duration];
  const DIP_LEVELS = {
    "semi-f47": [seconds(0.5, 0.2), seconds(0.7, 0.5), seconds(0.8, 1)],
    "iec-61000-4-11-class-2": [cycles(0, 0.5, 0.5), cycles(0, 1, 1), cycles(0.7, 25, 30)],
    "iec-61000-4-11-class-3": [
      cycles(0, 0.5, 0.5),
      cycles(0, 1, 1),
      cycles(0.4, 10, 12),
      cycles(0.7, 25, 30),
      cycles(0.8, 250, 300),
    ],
  };
  const INTERRUPTION_SECONDS = 250 / 50;

  const requiredTime = (levels, remaining, frequency) =>
    levels
      .filter(([level]) => level <= remaining + 1e-9)
      .map(([, at50, at60]) => (frequency > 55 ? at60 : at50))
      .reduce((longest, time) => Math.max(longest, time), 0);

  // Name of a supply event, with a remark where the table leaves it open.
  const supplyEvent = (voltage, time, frequency) => {
    const cycle = 1 / frequency;
    if (voltage >= 0.9 && voltage <= 1.1) return ["normal"];
    if (time < 0.5 * cycle) {
      return [
        "transient",
        "Shorter than half a cycle: the table of sags and swells begins above that.",
      ];
    }
    if (time > 60) {
      if (voltage < 0.1) return ["sustained interruption"];
      if (voltage < 0.8) {
        return [
          "undervoltage",
          "Below 80 % for more than a minute has no name in the table; called undervoltage here.",
        ];
      }
      if (voltage < 0.9) return ["undervoltage"];
      if (voltage > 1.2) {
        return [
          "overvoltage",
          "Above 120 % for more than a minute has no name in the table; called overvoltage here.",
        ];
      }
      return ["overvoltage"];
    }
    const kind = voltage < 0.1 ? "interruption" : voltage < 0.9 ? "sag" : "swell";
    let length = "instantaneous";
    if (time > 30 * cycle || kind === "interruption") length = "momentary";
    if (time > 3) length = "temporary";
    return [`${length} ${kind}`];
  };

  sums["ride-through-time"] = (i) => {
    const time = given(
      rideThroughTime,
      i.bus_capacitance,
      i.load_power,
      i.bus_voltage,
      i.undervoltage_limit,
    );
    return known({ time, ratio: ratio(i.dip_duration, time) });
  };

  sums["ride-through-capacitance"] = (i) =>
    known({
      capacitance: given(
        rideThroughCapacitance,
        i.wanted_time,
        i.load_power,
        i.bus_voltage,
        i.undervoltage_limit,
      ),
    });

  sums["bus-in-dip"] = (i) => {
    const during = given((supply, share) => supply * share, i.supply_voltage, i.remaining_voltage);
    return known({
      peak_bus_voltage: given(busAtRest, during),
      mean_bus_voltage: given(sixPulseMean, during),
      margin: given((supply, limit) => sixPulseMean(supply) - limit, during, i.undervoltage_limit),
    });
  };

  sums["dip-immunity"] = (i) => {
    if (i.remaining_voltage >= 0.9) {
      return { beyond: 0, position: "no dip", notes: ["From 90 % of nominal up it is no dip."] };
    }
    const required = given(
      (remaining, frequency) => requiredTime(DIP_LEVELS[i.rule], remaining, frequency),
      i.remaining_voltage,
      i.supply_frequency,
    );
    const longer = given((lasted, time) => Math.max(lasted - time, 0), i.dip_duration, required);
    const notes = [`Curve ${i.rule}.`];
    if (i.rule !== "semi-f47") {
      notes.push(
        `Interruptions of ${INTERRUPTION_SECONDS} s are tested apart; there the equipment may stop.`,
      );
    }
    return known({
      required_time: required,
      beyond: longer,
      position: given((time) => (time > 0 ? "outside" : "inside"), longer),
      notes,
    });
  };

  sums["supply-event"] = (i) => {
    const [event, remark] =
      given(supplyEvent, i.remaining_voltage, i.dip_duration, i.supply_frequency) || [];
    return known({
      event,
      depth: given((remaining) => 1 - remaining, i.remaining_voltage),
      notes: remark && [remark],
    });
  };
}
