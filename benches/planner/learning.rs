//! What the log is worth in a plant whose frequencies differ from the built-in levels.

use whytrip::diagnosis::learning::{PLANT_STRENGTH, learned};
use whytrip::diagnosis::model::Model;
use whytrip::diagnosis::settings::Settings;

use crate::generated::{Random, Shape, model};
use crate::policy::Policy;
use crate::remade::with_priors;
use crate::walked::{spread, walk};
use crate::world::{World, scale};

const MODELS: u64 = 16;
const CUT: f64 = 1e-2;
/// Incidents of the class in the log.
const COUNTS: [usize; 6] = [5, 10, 20, 50, 200, 1000];
/// Spread of a plant's frequencies around the levels: ln 3.
const SPREAD: f64 = 1.0986;
const WRONG_RECORDS: f64 = 0.10;

/// Incidents of the whole plant, whose classes come up as one over their rank (Zipf).
const PLANT_COUNTS: [usize; 3] = [50, 200, 1000];

pub fn print() {
    println!("learning from the log, {MODELS} generated models of 7 causes and 7 questions:");
    println!(
        "minutes against no learning, mean (worst model), after so many incidents of the class"
    );
    for (name, difference) in [
        ("frequencies differ (lognormal, ln 3)", SPREAD),
        ("the levels were right", 0.0),
    ] {
        let classes: Vec<Class> = (0..MODELS)
            .map(|seed| Class::new(seed, difference))
            .collect();
        for (records, wrong) in [("", 0.0), (", 10 % of records wrong", WRONG_RECORDS)] {
            let ratio = |class: &Class, count: usize| class.minutes(count, wrong) / class.untaught;
            print!("  {name}{records}:");
            for count in COUNTS {
                let ratios = classes.iter().map(|class| ratio(class, count));
                let (mean, _, worst) = spread(ratios.collect());
                print!("  {count}: {mean:.3} ({worst:.3})");
            }
            println!();
            if difference > 0.0 {
                print!("    incidents of a plant with these {MODELS} classes:");
                let all: f64 = (1..=MODELS).map(|rank| 1.0 / rank as f64).sum();
                for count in PLANT_COUNTS {
                    let plant: f64 = classes
                        .iter()
                        .zip(1..)
                        .map(|(class, rank)| {
                            let share = 1.0 / f64::from(rank) / all;
                            share * ratio(class, (count as f64 * share).round() as usize)
                        })
                        .sum();
                    print!("  {count}: {plant:.3}");
                }
                println!();
            }
        }
    }
}

/// A class of a plant.
struct Class {
    seed: u64,
    model: Model,
    world: World,
    /// Minutes without learning.
    untaught: f64,
}

impl Class {
    fn new(seed: u64, difference: f64) -> Self {
        let shape = Shape {
            causes: 8,
            questions: 7,
            most_findings: 3,
            four_accesses: true,
            proof_runs: true,
        };
        let model = model(2000 + seed, &shape, 10.0, Settings::default());
        let mut random = Random::new(seed);
        let mut world = World::as_planned(&model);
        for share in &mut world.shares {
            *share *= (difference * random.normal()).exp();
        }
        scale(&mut world.shares);
        let mut class = Self {
            seed,
            model,
            world,
            untaught: 0.0,
        };
        class.untaught = class.walked(&class.model);
        class
    }

    fn walked(&self, believed: &Model) -> f64 {
        walk(
            believed,
            Policy::Planner,
            std::slice::from_ref(&self.world),
            CUT,
        )[0]
        .minutes
    }

    /// Minutes after so many incidents, some of them booked to any other cause.
    fn minutes(&self, count: usize, wrong: f64) -> f64 {
        let mut random = Random::new(self.seed ^ 0x5eed);
        let mut counts = vec![0.0; self.world.shares.len()];
        for _ in 0..count {
            let cause = crate::time::draw(&mut random, self.world.shares.iter().copied());
            let any = random.below(counts.len());
            let booked = if random.unit() < wrong { any } else { cause };
            counts[booked] += 1.0;
        }
        let priors: Vec<f64> = self
            .model
            .causes()
            .iter()
            .map(|cause| cause.prior)
            .collect();
        self.walked(&with_priors(
            &self.model,
            &learned(&priors, PLANT_STRENGTH, &counts),
        ))
    }
}
