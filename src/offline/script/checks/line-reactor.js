// The sums of reactor and transformer.
// src/checks/line_reactor.rs explains each with its source; these give the same.
{
  const reactorInductance = (impedance, voltage, current, frequency) =>
    (voltage * impedance) / (current * frequency * (2 * Math.PI * Math.sqrt(3)));
  const busBehind = (voltage, impedance) => sixPulseMean(voltage) * (1 - impedance / 2);

  // Relative impedance of network and reactor, and distortion of the line current.
  const DISTORTION = [
    [0.005, 1.05],
    [0.01, 0.85],
    [0.02, 0.57],
    [0.03, 0.43],
    [0.04, 0.37],
    [0.05, 0.33],
    [0.08, 0.27],
  ];

  const transformerShortCircuit = (power, voltage, impedance) =>
    power / (voltage * Math.sqrt(3) * impedance);
  const behindInductance = (before, voltage, frequency, inductance) => {
    const own = before * frequency * inductance * (2 * Math.PI * Math.sqrt(3));
    return before / (1 + own / voltage);
  };

  sums["line-reactor"] = (i) => {
    const total = given((own, net) => own + net, i.reactor_impedance, i.network_impedance);
    return known({
      inductance: given(
        reactorInductance,
        i.reactor_impedance,
        i.supply_voltage,
        i.drive_input_current,
        i.supply_frequency,
      ),
      voltage_drop: given(
        (share, supply) => (supply * share) / Math.sqrt(3),
        i.reactor_impedance,
        i.supply_voltage,
      ),
      mean_bus_voltage: given(busBehind, i.supply_voltage, total),
      bus_loss: given((share) => share / 2, total),
      short_circuit_current: ratio(i.drive_input_current, total),
      distortion: given((share) => onCurve(DISTORTION, share), total),
    });
  };

  sums["short-circuit-at-drive"] = (i) => {
    const first = given(
      transformerShortCircuit,
      i.transformer_power,
      i.supply_voltage,
      i.transformer_impedance,
    );
    const there = given(
      behindInductance,
      first,
      i.supply_voltage,
      i.supply_frequency,
      i.reactor_inductance,
    );
    return known({
      at_transformer: first,
      at_drive: there,
      ratio: ratio(there, i.short_circuit_rating),
    });
  };
}
