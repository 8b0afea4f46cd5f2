//! The kinds of quantity that whytrip knows, each on its `uom` type.

use uom::si::f64 as si;

macro_rules! kinds {
    ($($variant:ident, $getter:ident, $uom:ty, $unit:path, $words:literal;)*) => {
        /// A kind of quantity.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Kind { $(#[doc = $words] $variant,)* }

        /// A value with its unit, typed by kind. `ResistancePerLength` holds the resistance of one metre.
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub enum Quantity { $(#[doc = $words] $variant($uom),)* }

        impl Kind {
            /// Every kind, in a fixed order.
            pub const ALL: &'static [Kind] = &[$(Kind::$variant,)*];

            /// The kind in words, as an error message names it.
            pub fn words(self) -> &'static str {
                match self { $(Kind::$variant => $words,)* }
            }

            /// The kind in words with its article: `a voltage`, `an area`.
            pub fn with_article(self) -> String {
                let words = self.words();
                let article = if words.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" };
                format!("{article} {words}")
            }
        }

        impl Quantity {
            /// A quantity from its value in the coherent SI unit.
            pub fn from_si(kind: Kind, value: f64) -> Quantity {
                match kind { $(Kind::$variant => Quantity::$variant(<$uom>::new::<$unit>(value)),)* }
            }

            /// The value in the coherent SI unit.
            pub fn si(self) -> f64 {
                match self { $(Quantity::$variant(value) => value.get::<$unit>(),)* }
            }

            /// What kind this is.
            pub fn kind(self) -> Kind {
                match self { $(Quantity::$variant(_) => Kind::$variant,)* }
            }

            $(
                #[doc = concat!("The typed value, if this is a ", $words, ".")]
                pub fn $getter(self) -> Option<$uom> {
                    match self { Quantity::$variant(value) => Some(value), _ => None }
                }
            )*
        }

        $(kinds!(@from $variant, $uom);)*
    };
    // Kinds that share a `uom` type have no unambiguous conversion from it.
    (@from ApparentPower, $uom:ty) => {};
    (@from Count, $uom:ty) => {};
    (@from BitRate, $uom:ty) => {};
    (@from ResistancePerLength, $uom:ty) => {};
    (@from $variant:ident, $uom:ty) => {
        impl From<$uom> for Quantity {
            fn from(value: $uom) -> Quantity { Quantity::$variant(value) }
        }
    };
}

kinds! {
    Voltage, voltage, si::ElectricPotential, uom::si::electric_potential::volt, "voltage";
    Current, current, si::ElectricCurrent, uom::si::electric_current::ampere, "current";
    Resistance, resistance, si::ElectricalResistance, uom::si::electrical_resistance::ohm, "resistance";
    Power, power, si::Power, uom::si::power::watt, "power";
    ApparentPower, apparent_power, si::Power, uom::si::power::watt, "apparent power";
    Energy, energy, si::Energy, uom::si::energy::joule, "energy";
    Frequency, frequency, si::Frequency, uom::si::frequency::hertz, "frequency";
    Time, time, si::Time, uom::si::time::second, "time";
    Temperature, temperature, si::ThermodynamicTemperature, uom::si::thermodynamic_temperature::kelvin, "temperature";
    TemperatureDifference, temperature_difference, si::TemperatureInterval, uom::si::temperature_interval::kelvin, "temperature difference";
    Ratio, ratio, si::Ratio, uom::si::ratio::ratio, "ratio";
    Count, count, si::Ratio, uom::si::ratio::ratio, "plain number";
    Speed, speed, si::AngularVelocity, uom::si::angular_velocity::radian_per_second, "speed of rotation";
    Torque, torque, si::Torque, uom::si::torque::newton_meter, "torque";
    Inertia, inertia, si::MomentOfInertia, uom::si::moment_of_inertia::kilogram_square_meter, "moment of inertia";
    Capacitance, capacitance, si::Capacitance, uom::si::capacitance::farad, "capacitance";
    Inductance, inductance, si::Inductance, uom::si::inductance::henry, "inductance";
    Charge, charge, si::ElectricCharge, uom::si::electric_charge::coulomb, "electric charge";
    Length, length, si::Length, uom::si::length::meter, "length";
    Area, area, si::Area, uom::si::area::square_meter, "area";
    Mass, mass, si::Mass, uom::si::mass::kilogram, "mass";
    Velocity, velocity, si::Velocity, uom::si::velocity::meter_per_second, "velocity";
    Airflow, airflow, si::VolumeRate, uom::si::volume_rate::cubic_meter_per_second, "air flow";
    VoltsPerHertz, volts_per_hertz, si::MagneticFlux, uom::si::magnetic_flux::weber, "voltage per frequency";
    ResistancePerLength, resistance_per_length, si::ElectricalResistance, uom::si::electrical_resistance::ohm, "resistance per length";
    CapacitancePerLength, capacitance_per_length, si::ElectricPermittivity, uom::si::electric_permittivity::farad_per_meter, "capacitance per length";
    HeatTransfer, heat_transfer, si::HeatTransfer, uom::si::heat_transfer::watt_per_square_meter_kelvin, "heat transfer coefficient";
    BitRate, bit_rate, si::Frequency, uom::si::frequency::hertz, "bit rate";
}
