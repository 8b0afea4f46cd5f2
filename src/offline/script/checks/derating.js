// The sums of heat and height. src/checks/derating.rs explains each with its source; these must give
// the same.
{
  sums["ambient-margin"] = (i) =>
    known({ margin: difference(i.ambient_limit, i.ambient_temperature) });

  const altitudeFactor = (altitude) => 1 - (0.01 * Math.max(altitude - 1000, 0)) / 100;
  const ambientFactor = (ambient, reference, perKelvin) =>
    Math.max(1 - perKelvin * Math.max(ambient - reference, 0), 0);

  sums["derated-current"] = (i) => {
    const heat = given(ambientFactor, i.ambient_temperature, i.ambient_limit, i.loss_per_kelvin);
    const height = given(altitudeFactor, i.altitude);
    const factor = given((one, other) => one * other, height, heat);
    const left = given((rated, share) => rated * share, i.drive_rated_current, factor);
    return known({
      current: left,
      factor,
      ratio: left > 0 ? ratio(i.output_current, left) : undefined,
      notes: [
        "1 % for each 100 m above 1000 m is a habit of the trade; the drive's own manual rules.",
      ],
    });
  };

  sums["heatsink-rise"] = (i) =>
    known({ rise: difference(i.heatsink_temperature, i.ambient_temperature) });

  const densityShare = (altitude) => Math.pow(1 - 2.25577e-5 * altitude, 4.25588);
  const clearanceFactor = (altitude) => {
    if (altitude <= 2000) return 1;
    if (altitude <= 3000) return 1.14;
    return altitude <= 4000 ? 1.29 : 1.48;
  };

  sums["altitude-effects"] = (i) =>
    known({
      density_share: given(densityShare, i.altitude),
      clearance_factor: given(clearanceFactor, i.altitude),
    });
}
