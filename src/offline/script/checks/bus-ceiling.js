// How high a DC bus may stand.
// src/checks/bus_ceiling.rs explains it with its source; this gives the same.
{
  const terminalVoltage = (supply) => (supply <= 264 ? 450 : supply <= 550 ? 900 : 1200);

  sums["bus-ceiling"] = (i) => {
    const ceiling = given(busAtRest, i.supply_voltage);
    const terminals = given(terminalVoltage, i.supply_voltage);
    const limit = i.overvoltage_limit;
    return known({
      rectifier_ceiling: ceiling,
      terminal_voltage: terminals,
      from_load: given((bus, most) => Math.max(bus - most, 0), i.bus_voltage, ceiling),
      ratio: ratio(i.bus_voltage, ceiling),
      to_limit: ratio(i.bus_voltage, limit === undefined ? terminals : limit),
      notes:
        limit === undefined
          ? [
              "What the terminals reach is a habit of the trade; this drive's own manual has its trip level: give it as overvoltage_limit.",
            ]
          : undefined,
    });
  };
}
