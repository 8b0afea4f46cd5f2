// The sums of the encoder. src/checks/encoder.rs explains each with its source; these must give the
// same.
{
  const TURN = 2 * Math.PI;
  const EDGES_PER_PULSE = 4;

  const pulseFrequency = (pulses, speed) => (pulses * speed) / TURN;
  const speedOfFrequency = (frequency, pulses) => (frequency * TURN) / pulses;
  const frequencyOf = (i) => given(pulseFrequency, i.encoder_pulses, i.motor_speed);

  sums["encoder-frequency"] = (i) => {
    const expected = frequencyOf(i);
    return known({
      frequency: expected,
      edge_frequency: given((own) => own * EDGES_PER_PULSE, expected),
      ratio: ratio(i.pulse_frequency, expected),
    });
  };

  sums["encoder-input-limit"] = (i) => {
    const frequency = frequencyOf(i);
    return known({ frequency, share: ratio(frequency, i.input_frequency_limit) });
  };

  sums["encoder-window"] = (i) => {
    const { sampling_time: time, encoder_pulses: pulses } = i;
    return known({
      pulses: given((frequency, t) => frequency * t, frequencyOf(i), time),
      speed_step: given((t, n) => speedOfFrequency(1 / t, n), time, pulses),
    });
  };

  sums["encoder-speed"] = (i) =>
    known({ speed: given(speedOfFrequency, i.pulse_frequency, i.encoder_pulses) });
}
