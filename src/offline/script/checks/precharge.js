// The sums of charging the DC bus.
// src/checks/precharge.rs explains each with its source; these give the same.
{
  const CHARGED = 0.95;
  const HOUR = 3600;

  const meanAbove = (level, crestToCrest) => {
    if (level <= Math.cos(crestToCrest / 2)) {
      return (2 / crestToCrest) * Math.sin(crestToCrest / 2) - level;
    }
    const angle = Math.acos(level);
    return (2 / crestToCrest) * (Math.sin(angle) - angle * level);
  };

  // By Simpson's rule, behind a bridge with so much angle from crest to crest.
  const behindBridge = (crestToCrest) => {
    const steps = 2000;
    const step = CHARGED / steps;
    let sum = 0;
    for (let at = 0; at <= steps; at += 1) {
      const weight = at === 0 || at === steps ? 1 : at % 2 === 1 ? 4 : 2;
      sum += weight / meanAbove(at * step, crestToCrest);
    }
    return (sum * step) / 3;
  };

  const SOURCES = {
    "three-phase-bridge": {
      constants: () => behindBridge(Math.PI / 3),
      note: "Behind a three-phase bridge: 4.3 time constants, as near the end current flows at the crests only; three from a constant dc voltage.",
    },
    "single-phase-bridge": {
      constants: () => behindBridge(Math.PI),
      note: "Behind a single-phase bridge: 11.4 time constants, as near the end current flows at the crests only.",
    },
    "constant-dc": {
      constants: () => Math.log(1 / (1 - CHARGED)),
      note: "From a constant dc voltage: three time constants. Behind a bridge on the mains it takes longer.",
    },
  };

  sums["precharge-time"] = (i) => {
    const source = SOURCES[i.charging_source];
    const constant = given((r, c) => r * c, i.precharge_resistance, i.bus_capacitance);
    return known({
      time: given((rc) => rc * source.constants(), constant),
      time_constant: constant,
      peak_current: ratio(i.bus_voltage, i.precharge_resistance),
      energy: given((c, u) => busEnergy(c, 0, u), i.bus_capacitance, i.bus_voltage),
      notes: [source.note],
    });
  };

  sums["precharge-starts"] = (i) => {
    const energy = given((c, u) => busEnergy(c, 0, u), i.bus_capacitance, i.bus_voltage);
    const power = given((e, count) => (e * count) / HOUR, energy, i.power_ups_per_hour);
    const byPulse = ratio(energy, i.precharge_pulse_energy);
    return known({
      energy,
      average_power: power,
      highest_count: given(
        (rated, e) => Math.floor((rated * HOUR) / e),
        i.precharge_power,
        energy > 0 ? energy : undefined,
      ),
      ratio: given(
        (byPower) => Math.max(byPower, byPulse === undefined ? 0 : byPulse),
        ratio(power, i.precharge_power),
      ),
    });
  };
}
