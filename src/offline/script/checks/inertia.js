// The sums of acceleration. src/checks/inertia.rs explains each with its source; these must give the
// same.
{
  const torqueForRamp = (inertia, change, time) => (inertia * change) / time;
  const timeForTorque = (inertia, change, net) => (inertia * change) / net;

  sums["acceleration-torque"] = (i) => {
    const torque = given(torqueForRamp, i.inertia, i.motor_speed, i.acceleration_time);
    const rated = ratio(i.motor_rated_power, i.motor_rated_speed);
    return known({
      torque,
      share_of_rated: ratio(torque, rated),
      rated_torque: rated,
      time_at_rated_torque: given(timeForTorque, i.inertia, i.motor_speed, rated),
      notes: ["The load's own torque comes on top."],
    });
  };

  sums["acceleration-time"] = (i) => {
    const net = difference(i.motor_torque, i.load_torque);
    if (net <= 0) {
      throw new Contradiction(
        "the load takes all of the motor's torque: nothing is left to accelerate with",
      );
    }
    return known({ time: given(timeForTorque, i.inertia, i.motor_speed, net), net_torque: net });
  };

  sums["stop-energy"] = (i) => {
    const { inertia, motor_speed: from, final_speed: to, deceleration_time: time } = i;
    if (to >= from) {
      throw new Contradiction("final_speed is not below motor_speed: that is no stop");
    }
    const energy = given(kineticEnergy, inertia, from, to);
    const torque = given(torqueForRamp, inertia, difference(from, to), time);
    return known({
      energy,
      average_power: ratio(energy, time),
      peak_power: given((own, speed) => own * speed, torque, from),
      torque,
      cycle_power: ratio(energy, i.cycle_time),
    });
  };

  sums["reflected-inertia"] = (i) => {
    const braking = i.power_flow === "braking";
    const atMotor = (load, gear, efficiency) => {
      const lossless = load / (gear * gear);
      return braking ? lossless * efficiency : lossless / efficiency;
    };
    return known({
      inertia: given(atMotor, i.load_inertia, i.gear_ratio, i.gear_efficiency),
      notes: [
        braking
          ? "The load drives the motor: the gear's loss helps to stop it."
          : "The motor drives the load: the gear's loss adds to what it feels.",
      ],
    });
  };

  sums["linear-inertia"] = (i) => {
    const radius = ratio(i.load_velocity, i.motor_speed);
    return known({ inertia: given((mass, r) => mass * r * r, i.mass, radius) });
  };

  sums["flywheel-inertia"] = (i) =>
    known({ inertia: given((flywheelEffect) => flywheelEffect / 4, i.flywheel_effect) });
}
