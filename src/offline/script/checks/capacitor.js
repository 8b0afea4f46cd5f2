// The sums of the charge in the DC bus.
// src/checks/capacitor.rs explains each with its source; these give the same.
{
  const USUAL_WAIT = 5 * 60;
  const EXEMPT_CHARGE = 60e-6;

  sums["discharge-wait"] = (i) => {
    const constant = given((r, c) => r * c, i.discharge_resistance, i.bus_capacitance);
    // Time constants to the safe voltage; zero where the bus is below it already.
    const constants = given(
      (from, to) => (from <= to ? 0 : Math.log(from / to)),
      i.bus_voltage,
      i.safe_voltage,
    );
    const time = given((rc, n) => rc * n, constant, constants);
    const label = i.label_time === undefined ? 0 : i.label_time;
    const wait = given((sum) => Math.max(sum, USUAL_WAIT, label), time);
    return known({
      time,
      time_constant: constant,
      wait,
      voltage_after_wait: given(
        (from, rc, waited) => from * Math.exp(-(waited / rc)),
        i.bus_voltage,
        constant,
        wait,
      ),
      longest_time_constant: constants > 0 ? USUAL_WAIT / constants : undefined,
      notes: [
        "The label's time rules, and no sum replaces the meter: prove the bus dead with a proven tester.",
      ],
    });
  };

  sums["residual-voltage"] = (i) => known({ voltage: given(Math.abs, i.residual_voltage) });

  sums["stored-energy"] = (i) =>
    known({
      energy: given((c, u) => busEnergy(c, 0, u), i.bus_capacitance, i.bus_voltage),
      charge: given((c, u) => c * u, i.bus_capacitance, i.bus_voltage),
      exempt_charge: EXEMPT_CHARGE,
      notes: [
        "60 µC by IEC 60204-1; IEC 61800-5-1 leaves 50 µC (from memory). A drive's bus holds far more than either.",
      ],
    });
}
