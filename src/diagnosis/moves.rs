//! Accesses: what a step needs of the machine, and what moving between them costs.

use super::model::ModelError;

/// Most accesses a model may have; the planner's tables have a column for each.
pub const MOST_ACCESSES: usize = 4;

/// One access, for instance *door closed* or *locked off and proved dead*.
#[derive(Debug, Clone, PartialEq)]
pub struct Access {
    /// Name, unique in the model.
    pub name: String,
    /// Price of the risk of one step taken here, minutes, 0 or more.
    pub hazard: f64,
    /// Entering it takes the power away, so frozen values and warm parts are lost.
    pub powers_off: bool,
}

/// Accesses and the minutes from each to each.
#[derive(Debug, Clone, PartialEq)]
pub struct Moves {
    accesses: Vec<Access>,
    start: usize,
    /// Row by row, `from * len + to`.
    minutes: Vec<f64>,
}

impl Moves {
    /// Takes `minutes[from][to]` and closes it: a move never costs more than a detour
    /// (all-pairs shortest paths, [Floyd 1962], [Warshall 1962]).
    /// The planner's bounds rest on this triangle inequality.
    ///
    /// # Errors
    /// When there is no access or more than [`MOST_ACCESSES`], a name comes twice, the table is
    /// not square, the start is none of them, the way from an access to itself is not 0, or a
    /// number is not finite or below 0.
    pub fn new(
        accesses: Vec<Access>,
        start: usize,
        minutes: &[Vec<f64>],
    ) -> Result<Self, ModelError> {
        let len = accesses.len();
        if len == 0 || len > MOST_ACCESSES {
            return Err(ModelError::AccessCount { found: len });
        }
        for (index, access) in accesses.iter().enumerate() {
            if accesses[..index]
                .iter()
                .any(|earlier| earlier.name == access.name)
            {
                return Err(ModelError::Twice {
                    id: access.name.clone(),
                });
            }
        }
        if start >= len || minutes.len() != len || minutes.iter().any(|row| row.len() != len) {
            return Err(ModelError::MoveTable);
        }
        let flat: Vec<f64> = minutes.iter().flatten().copied().collect();
        let prices = flat
            .iter()
            .chain(accesses.iter().map(|access| &access.hazard));
        if prices
            .into_iter()
            .any(|price| !super::model::is_minutes(*price))
        {
            return Err(ModelError::MoveTable);
        }
        if (0..len).any(|access| flat[access * len + access] != 0.0) {
            return Err(ModelError::MoveTable);
        }
        let mut moves = Self {
            accesses,
            start,
            minutes: flat,
        };
        moves.close();
        Ok(moves)
    }

    fn close(&mut self) {
        let len = self.accesses.len();
        for by in 0..len {
            for from in 0..len {
                for to in 0..len {
                    let detour = self.minutes[from * len + by] + self.minutes[by * len + to];
                    let direct = &mut self.minutes[from * len + to];
                    *direct = direct.min(detour);
                }
            }
        }
    }

    /// The accesses, in the order their indices count.
    #[must_use]
    pub fn accesses(&self) -> &[Access] {
        &self.accesses
    }

    /// Where a walk begins.
    #[must_use]
    pub fn start(&self) -> usize {
        self.start
    }

    /// Minutes from one access to another, 0 for an access that does not exist.
    #[must_use]
    pub fn minutes(&self, from: usize, to: usize) -> f64 {
        let len = self.accesses.len();
        if from < len && to < len {
            self.minutes[from * len + to]
        } else {
            0.0
        }
    }
}
