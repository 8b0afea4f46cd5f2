//! What rough judgement and wrong answers cost: the planner believes the model, the world differs.

use whytrip::diagnosis::model::Model;
use whytrip::diagnosis::settings::Settings;

use crate::classes;
use crate::generated::{Random, Shape, model};
use crate::policy::Policy;
use crate::walked::{Walked, spread, walk};
use crate::world::World;

const MODELS: u64 = 24;
const CUT: f64 = 5e-3;
/// Every so many shipped classes.
const STEP: usize = 2;

pub fn print() {
    let shape = |seed: u64| Shape {
        causes: 9,
        questions: 9,
        most_findings: 3,
        four_accesses: true,
        proof_runs: seed % 2 == 1,
    };
    let generated: Vec<Model> = (0..MODELS)
        .map(|seed| model(1000 + seed, &shape(seed), 10.0, Settings::default()))
        .collect();
    println!(
        "rough judgement and wrong answers, {MODELS} generated models of 8 causes and 9 questions"
    );
    table(&generated, Policy::Planner);
    let shipped: Vec<Model> = classes::all()
        .into_iter()
        .step_by(STEP)
        .map(|(_, model)| model)
        .collect();
    println!(
        "the same on {} shipped classes, live walks in which a finding may settle a cause",
        shipped.len()
    );
    table(&shipped, Policy::Live);
}

const NAMES: [&str; 9] = [
    "as written",
    "priors off by 2",
    "priors off by 3",
    "likelihood odds off by 2",
    "likelihood odds off by 3",
    "both off by 2",
    "both off by 3",
    "5 % of answers wrong",
    "10 % of answers wrong",
];

fn worlds(model: &Model, seed: u64) -> Vec<World> {
    let written = World::as_written(model);
    let mut random = Random::new(seed);
    let mut worlds = vec![written.clone()];
    for (priors, likelihoods) in [
        (2.0, 1.0),
        (3.0, 1.0),
        (1.0, 2.0),
        (1.0, 3.0),
        (2.0, 2.0),
        (3.0, 3.0),
    ] {
        let world = written.clone().with_priors_off(priors, &mut random);
        worlds.push(world.with_likelihoods_off(likelihoods, &mut random));
    }
    worlds.push(written.clone().with_slips(0.05));
    worlds.push(written.with_slips(0.10));
    worlds
}

/// A line a world: minutes against the world as written, how often a wrong cause is confirmed,
/// how often the walk hands over.
fn table(models: &[Model], policy: Policy) {
    let walked: Vec<Vec<Walked>> = models
        .iter()
        .zip(0..)
        .map(|(model, seed)| walk(model, policy, &worlds(model, seed), CUT))
        .collect();
    println!(
        "  world                        minutes   90 %   wrong cause   handed over   questions"
    );
    for (world, name) in NAMES.iter().enumerate() {
        let mean = |of: &dyn Fn(&Walked) -> f64| {
            walked.iter().map(|worlds| of(&worlds[world])).sum::<f64>() / walked.len() as f64
        };
        let ratios = walked
            .iter()
            .map(|worlds| worlds[world].minutes / worlds[0].minutes);
        let (ratio, ninth, _) = spread(ratios.collect());
        println!(
            "  {name:<28} {ratio:7.3} {ninth:6.3} {:11.2} % {:11.2} % {:11.2}",
            100.0 * mean(&|walked| walked.wrong),
            100.0 * mean(&|walked| walked.handed_over),
            mean(&|walked| walked.questions),
        );
    }
}
