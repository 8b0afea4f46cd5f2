// The sums of contacts and semiconductors. src/checks/contacts.rs explains each with its source; these
// must give the same.
{
  sums["contact-drop"] = (i) => {
    const drop = given(Math.abs, i.contact_voltage_drop);
    return known({ voltage: drop, contact_resistance: ratio(drop, i.load_current) });
  };

  sums["continuity"] = (i) => known({ resistance: i.resistance });

  sums["diode-drop"] = (i) => known({ voltage: i.forward_voltage });

  sums["resistance-to-expected"] = (i) =>
    known({ ratio: ratio(i.measured_resistance, i.expected_resistance) });

  sums["output-to-motor-current"] = (i) => {
    if (i.displayed_current !== undefined && i.measured_current <= 0) {
      throw new Contradiction(
        "the clamp shows no current: close it round one single conductor of a running motor and read again",
      );
    }
    return known({ difference: deviation(i.displayed_current, i.measured_current) });
  };
}
