// The sum of the thermal classes. src/checks/thermal_class.rs explains it with its source; this must
// give the same.
{
  const HALF_LIFE = 10;

  sums["thermal-class"] = (i) => {
    const { limit, rise } = THERMAL_CLASSES[i.thermal_class];
    const margin = given((own) => limit - celsius(own), i.winding_temperature);
    return known({
      temperature_limit: kelvin(limit),
      rise_limit: rise,
      margin,
      life_share: given((own) => Math.pow(2, own / HALF_LIFE), margin),
      notes: [`Judged as thermal class ${i.thermal_class}.`],
    });
  };
}
