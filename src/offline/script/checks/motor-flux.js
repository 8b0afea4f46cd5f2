// The flux in a motor.
// src/checks/motor_flux.rs explains it with its source; this gives the same.
{
  const WINDING_SHARES = {
    "as-rated": 1,
    "delta-for-star": Math.sqrt(3),
    "star-for-delta": 1 / Math.sqrt(3),
  };

  const MIX_UPS = [
    [1, "as rated"],
    [Math.sqrt(3), "delta instead of star"],
    [1 / Math.sqrt(3), "star instead of delta"],
    [1.2, "60 Hz voltage at 50 Hz"],
    [50 / 60, "50 Hz voltage at 60 Hz"],
  ];
  const looksLike = (flux) => {
    const near = MIX_UPS.find(([figure]) => Math.abs(flux / figure - 1) <= 0.04);
    return near ? near[1] : "none of the usual mix-ups";
  };

  sums["motor-flux"] = (i) => {
    const winding = WINDING_SHARES[i.connection_made];
    const flux = given(
      (voltage, frequency, ratedVoltage, ratedFrequency) =>
        (voltage / ratedVoltage) * (ratedFrequency / frequency) * winding,
      i.output_voltage,
      i.output_frequency,
      i.motor_rated_voltage,
      i.motor_rated_frequency,
    );
    return known({
      flux,
      looks_like: given(looksLike, flux),
      voltage_for_rated_flux: given(
        (voltage, rated, frequency) => (voltage * (frequency / rated)) / winding,
        i.motor_rated_voltage,
        i.motor_rated_frequency,
        i.output_frequency,
      ),
    });
  };
}
