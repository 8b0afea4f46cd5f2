// Values on the edges of tables and bands, which random points hardly meet.

// Sizes that stand in the tables of conductors, so that random points meet them.
export const SIZES = {
  conductor_area: [
    ..."0.5 0.75 1 1.5 2.5 4 6 10 16 25 35 50 70 95 120 150 185 240 300".split(" "),
    ..."4.11 6.53 10.38 16.51 26.24 41.74 52.62 66.36 83.69 105.6 133.1 167.8 211.6"
      .split(" ")
      .map((size) => `${size}kcmil`),
    ..."250 300 350 400 500".split(" ").map((size) => `${size}kcmil`),
  ],
};
const ALL_SIZES = SIZES.conductor_area.join(" ");
// By check: the inputs that are set besides those of the worked example, last the one that takes each
// of the values.
export const EDGES = {
  "conductor-resistance": [
    ["conductor_area", `${ALL_SIZES} 0.6 800`],
    ["conductor_area", "9.9502 9.9503 10.0502 10.0503 15.9203 15.9204 16.0804 16.0805"],
    ["conductor_build=solid conductor_area", `${ALL_SIZES} 0.6`],
    ["conductor_metal=aluminium conductor_area", `${ALL_SIZES} 0.6`],
    ["conductor_metal=aluminium conductor_build=solid conductor_area", "16 4.11kcmil 0.6"],
  ],
  "cable-charging-current": [["cable_capacitance", "0.1499 0.15 0.6 0.6001"]],
  "reflected-peak": [
    ["motor_rated_voltage", "600 600.1"],
    ["bus_voltage=500 measured_peak_voltage", "0 550 551 750 751 1000 1001 1250 1251"],
    ["bus_voltage=0 measured_peak_voltage", "0 1000"],
  ],
  "stop-energy": [["final_speed", "1479 1480 1481"]],
  "acceleration-time": [["load_torque", "39.9 40 41 -10"]],
  "brake-resistor-range": [["chopper_current", "4.6 4.7"]],
  "bus-absorption": [["bus_voltage", "0 779.9 780 781"]],
  "insulation-resistance": [
    ["rule=thermosetting winding_temperature", "-0.4 9.5 8.5 9.99 10 40 40.1 85 85.5 86.5 180"],
    ["winding_temperature", "-20 63 64 180"],
  ],
  "insulation-minimum": [["winding=form motor_rated_voltage", "999 1000 15000"]],
  "insulation-test-voltage": [
    ["rated_voltage", "999 1000 2500 2501 5000 5001 12000 12001"],
    ["rule=neta-mts rated_voltage", "250 250.1 1000 1001 2500 2501 5000 5001"],
    ["rule=iec-60364-6 rated_voltage", "500 501"],
    ["rule=iec-60364-6 circuit=extra-low rated_voltage", "24 501"],
  ],
  "polarization-index": [["resistance_1_min", "4999 5000 5001"]],
  "winding-balance": [["resistance_u_v=0 resistance_v_w=0 resistance_w_u", "0 0.1"]],
  "pt100-temperature": [
    ["sensor_resistance", "0 18.5 18.52 18.53 60.25 60.26 100 179 179.6 180 390.4 390.5 OL"],
  ],
  "pt100-resistance": [["sensor_temperature", "-200 -0.1 0 850"]],
  "pt100-lead-error": [["sensor_temperature", "-200 -0.1 0 850"]],
  "ptc-resistance": [["ptc_resistance", "0 19.9 20 59.9 60 750 751 1650 1651 4000 4001 OL"]],
  "ptc-limit": [["response_offset", "-20.1 -20 -19.9 -5 -4.9 0 4.9 5 14.9 15"]],
  "derated-current": [
    ["altitude", "-500 1000 1001 4000"],
    ["ambient_temperature=90 loss_per_kelvin=2 output_current", "0 10"],
  ],
  "altitude-effects": [["altitude", "2000 2001 3000 3001 4000 4001 5000"]],
  "dew-point": [["relative_humidity", "1 100"]],
  "digital-input": [
    ["input_type=1 input_voltage", "-3.1 -3 5 5.1 14.9 15 30 30.1"],
    ["input_type=3 input_voltage", "5 10.9 11"],
  ],
  "loop-current": [
    ["loop_current", "-1 3.6 3.6000004 3.600001 3.7 3.7999996 3.8 20.5 20.6 20.9 21 25"],
  ],
  potentiometer: [["wiper_position", "0 100"]],
  "encoder-frequency": [["pulse_frequency", "0 30720"]],
  "modbus-timing": [["bit_rate", "300 19200 19201 1Mbit/s"]],
  "rs485-termination": [["terminators=0 unit_loads", "0 1"]],
  "can-length": [["bit_rate", "50e3 50.1e3 125e3 125.1e3 250e3 250.1e3 500e3 500.1e3 1e6"]],
  "can-levels": [
    ["line_state=recessive can_low_voltage=2 can_high_voltage", "1.49 1.5 2 2.05 2.06"],
  ],
  "output-to-motor-current": [["measured_current", "0 0.1"]],
  "coil-voltage": [
    ["coil_voltage", "0 20.4 20.39 26.4 26.41"],
    ["device=brake coil_voltage", "21.6 21.59"],
  ],
  "touch-voltage": [
    ["local_limit", "25 50 60"],
    ["situation=touch-dc local_limit", "25 120"],
  ],
  "unbalance-uncertainty": [["voltage_l1_l2=0 voltage_l2_l3=0 voltage_l3_l1", "0 1"]],
  "tester-proof": [["circuit_voltage", "600 600.1"]],
  "approach-distance": [
    ["system=ac circuit_voltage", "150.9 151 750 750.1"],
    ["system=dc circuit_voltage", "300 301 1000 1001"],
  ],
  "meter-fit": [
    ["meter_voltage_rating", "299 300 599 600 999 1000"],
    ["point_category=IV meter_voltage_rating", "300"],
  ],
  "disconnection-time": [
    ["voltage_to_earth", "120 120.1 230 230.1 400 400.1"],
    ["earthing=TT voltage_to_earth", "120 230 400 401"],
  ],
};
