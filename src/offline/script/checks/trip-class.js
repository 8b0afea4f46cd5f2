// When an overload protection trips.
// src/checks/trip_class.rs explains each sum with its source; these give the same.
{
  // Shortest and longest time from cold at 7.2 times the setting, longest from warm at 1.5 times
  // it, in seconds.
  const CLASSES = {
    "10": [4, 10, 240],
    "10A": [2, 10, 120],
    "5": [0.5, 5, 120],
    "20": [6, 20, 480],
    "30": [9, 30, 720],
  };
  const NEMA_CLASSES = { "10": 10, "20": 20, "30": 30 };
  const TWO_HOURS = 7200;

  // Shortest and longest time to trip; no longest where it must not trip.
  const tripBand = (tripClass, multiple) => {
    const [shortest, longest, warm] = CLASSES[tripClass];
    if (multiple === "7.2-cold") return [shortest, longest];
    if (multiple === "1.5-warm") return [0, warm];
    if (multiple === "1.2-warm") return [0, TWO_HOURS];
    if (multiple === "1.05-cold") return [TWO_HOURS, undefined];
    if (!(tripClass in NEMA_CLASSES)) {
      throw new Contradiction("NEMA has classes 10, 20 and 30 only");
    }
    return [0, NEMA_CLASSES[tripClass]];
  };

  // Time until the model trips; without end where it never does.
  const thermalTripTime = (timeConstant, current, loadBefore, pickup) => {
    if (loadBefore > pickup) {
      throw new Contradiction(
        "the load before is above the pick-up: the protection would have tripped already",
      );
    }
    if (current <= pickup) return Infinity;
    const square = current * current;
    return (
      timeConstant * Math.log((square - loadBefore * loadBefore) / (square - pickup * pickup))
    );
  };

  sums["overload-trip-time"] = (i) => {
    const [shortest, longest] = tripBand(i.trip_class, i.multiple);
    const notes = [`Class ${i.trip_class}, tested at ${i.multiple}; from memory.`];
    if (longest === undefined) {
      notes.push("At this current it must not trip within the shortest time.");
    }
    return known({
      shortest_time: shortest,
      longest_time: longest,
      below_shortest: given((time) => Math.max(shortest - time, 0), i.trip_time),
      beyond_longest: given(
        (time) => (longest === undefined ? 0 : Math.max(time - longest, 0)),
        i.trip_time,
      ),
      notes,
    });
  };

  sums["thermal-trip-time"] = (i) => {
    const time = given(
      thermalTripTime,
      i.thermal_time_constant,
      ratio(i.motor_current, i.motor_rated_current),
      i.load_before,
      i.pickup_factor,
    );
    if (time === undefined) return {};
    if (time === Infinity) return { trips: "never" };
    return known({
      time,
      trips: "in time",
      ratio: time > 0 ? ratio(i.trip_time, time) : undefined,
    });
  };
}
