// The sum of the dew point. src/checks/condensation.rs explains it with its source; this must give the
// same.
{
  // Constants of the Magnus formula over water: a number, and a temperature [°C].
  const A = 17.62;
  const B = 243.12;

  const dewPoint = (air, humidity) => {
    const degrees = celsius(air);
    const g = Math.log(humidity) + (A * degrees) / (B + degrees);
    return kelvin((B * g) / (A - g));
  };

  sums["dew-point"] = (i) => {
    const dew = given(dewPoint, i.air_temperature, i.relative_humidity);
    return known({ dew_point: dew, margin: difference(i.surface_temperature, dew) });
  };
}
