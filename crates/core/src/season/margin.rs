//! How many kelvin colder it could be: asked of all colonies of a stand at once, for cold comes to all and all raise their heat.

use super::coupling::MOST;

/// Rounds in which the colonies' heats are brought into agreement.
const ROUNDS: usize = 60;
/// Kelvins at which they agree.
const SETTLED: f64 = 1e-6;

/// What a colony has left in an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reserve {
    /// Kelvins by which it is warmer than it must be.
    pub warmer: f64,
    /// Sensible heat it could still make, W.
    pub spare: f64,
    /// Conductance of its surface film, W/K.
    pub film: f64,
}

/// Kelvins colder that each colony could stand, all settled. `settled[c][d]` are kelvins around cluster c per watt of cluster d.
///
/// In air colder by `D` colony d makes `q_d` more, so that `D = warmer_d + q_d/film_d + sum R_de q_e`, from nothing to what it can; colony c is at its
/// end where `q_c` is all it can make. Own: a heat balance with the stand's steady answers.
#[must_use]
pub fn colder(all: &[Option<Reserve>; MOST], settled: &[[f64; MOST]; MOST]) -> [f64; MOST] {
    std::array::from_fn(|c| {
        let Some(own) = all[c] else { return 0.0 };
        let alone = own.warmer + own.spare * (1.0 / own.film + settled[c][c]);
        let mut more = [0.0; MOST];
        more[c] = own.spare;
        let mut stands = alone;
        for _ in 0..ROUNDS {
            for (d, other) in all.iter().enumerate().filter(|(d, _)| *d != c) {
                let Some(other) = other else { continue };
                let helped: f64 = (0..MOST)
                    .filter(|e| *e != d)
                    .map(|e| settled[d][e] * more[e])
                    .sum();
                let lacks = stands - other.warmer - helped;
                more[d] = (lacks / (1.0 / other.film + settled[d][d])).clamp(0.0, other.spare);
            }
            let helped: f64 = (0..MOST)
                .filter(|e| *e != c)
                .map(|e| settled[c][e] * more[e])
                .sum();
            let change = alone + helped - stands;
            stands += change;
            if change.abs() < SETTLED {
                break;
            }
        }
        stands
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(spare: [f64; 2], shared: f64) -> [f64; MOST] {
        let of = |spare| {
            Some(Reserve {
                warmer: 1.0,
                spare,
                film: 0.5,
            })
        };
        let mut settled = [[0.0; MOST]; MOST];
        settled[0][0] = 1.2;
        settled[1][1] = 1.2;
        settled[0][1] = shared;
        settled[1][0] = shared;
        colder(&[of(spare[0]), of(spare[1]), None, None], &settled)
    }

    /// Catches a margin that leaves the neighbour out, or lets it give more than it can: two alike stand `w + s/f + (R + r) s`.
    #[test]
    fn two_alike_help_each_other() {
        let [a, b, ..] = pair([10.0, 10.0], 0.3);
        assert!((a - (1.0 + 10.0 * (2.0 + 1.2 + 0.3))).abs() < 1e-4, "{a}");
        assert!((a - b).abs() < 1e-4);
        // Without a way between them each stands alone, and one that can make nothing helps nobody.
        assert!((pair([10.0, 10.0], 0.0)[0] - 33.0).abs() < 1e-9);
        assert!((pair([10.0, 0.0], 0.3)[0] - 33.0).abs() < 1e-9);
    }

    /// Catches a strong neighbour that is asked for more than the weak one's cold calls for.
    #[test]
    fn the_strong_gives_what_its_own_cold_asks() {
        let [strong, weak, ..] = pair([30.0, 5.0], 0.3);
        // The weak one at its end: 17 + 0.3 q, the strong one's q = (17 + 0.3 q - 1 - 1.5)/3.2.
        let q = (17.0 - 2.5) / (3.2 - 0.3);
        assert!((weak - (17.0 + 0.3 * q)).abs() < 1e-4, "{weak}");
        assert!(
            (strong - (1.0 + 30.0 * 3.2 + 0.3 * 5.0)).abs() < 1e-4,
            "{strong}"
        );
    }
}
