// The sums of ageing capacitors.
// src/checks/capacitor_life.rs explains each with its source; these give the same.
{
  const life = (rated, ratedAt, temperature) => rated * Math.pow(2, (ratedAt - temperature) / 10);

  sums["capacitor-life"] = (i) =>
    known({ life: given(life, i.rated_life, i.rated_temperature, i.capacitor_temperature) });

  const mixedLife = (rated, ratedAt, ...duty) => {
    const [temperatures, times] = [duty.slice(0, 3), duty.slice(3)];
    const total = times.reduce((sum, time) => sum + time, 0);
    const used = times.reduce(
      (sum, time, at) => sum + time / life(rated, ratedAt, temperatures[at]),
      0,
    );
    if (!(used > 0)) {
      throw new Contradiction("all three times are zero: there is nothing to age");
    }
    const mixed = rated * (total / used / rated);
    return {
      life: mixed,
      equivalent_temperature: ratedAt - 10 * Math.log2(mixed / rated),
    };
  };

  sums["capacitor-life-mixed"] = (i) =>
    given(
      mixedLife,
      i.rated_life,
      i.rated_temperature,
      i.temperature_1,
      i.temperature_2,
      i.temperature_3,
      i.time_1,
      i.time_2,
      i.time_3,
    ) || {};

  sums["capacitor-capacitance"] = (i) =>
    known({
      deviation: given((c, rated) => (c - rated) / rated, i.measured_capacitance, i.rated_capacitance),
    });

  sums["capacitor-esr"] = (i) =>
    known({ ratio: ratio(i.series_resistance, i.rated_series_resistance) });
}
