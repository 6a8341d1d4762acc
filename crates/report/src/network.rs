//! Which heat network carried an answer, and how the reduced one was held against the full one: data and words, the same for all commands.

use super::words::Units;
use crate::text;
use crate::texts::{either, said};
use partywall_core::answer::network::{FULL, Network, Networks};
use partywall_core::ensemble::full_network_check::Held;
use partywall_core::season::Comparison;

/// A difference of temperature to so many digits.
fn small(k: f64, digits: usize, u: Units) -> String {
    let f = 1.8 * k;
    match u {
        Units::Metric => format!("{k:.digits$} C"),
        Units::Us => format!("{f:.digits$} F"),
        Units::Both => format!("{k:.digits$} C ({f:.digits$} F)"),
    }
}

/// "the air around a cluster within 0.2 C (0.4 F), honey eaten within 0.12 in 100, the weakest moment within 0.0 C (0.0 F)".
fn within(around: &str, eaten: f64, heat_in_hand: f64, u: Units) -> String {
    text!(
        "network.air_around_cluster_within",
        around,
        eaten = format!("{:.2}", 100.0 * eaten),
        heat_in_hand = small(heat_in_hand, 1, u)
    )
}

/// How far a check is beyond what is let pass: "by up to 0.42 C, 0.12 C in the mean and 0.3 % of the honey eaten (0.3, 0.1 and 1 are let pass)".
#[must_use]
pub fn astray(c: &Comparison) -> String {
    let (kelvin, rms, eaten) = Comparison::BOUND;
    text!(
        "network.by_how_much",
        most = format!("{:.2}", c.around_k),
        mean = format!("{:.2}", c.around_rms_k),
        eaten = format!("{:.1}", 100.0 * c.eaten),
        kelvin,
        rms,
        eaten_bound = format!("{:.0}", 100.0 * eaten)
    )
}

/// The words of the network behind a run.
pub trait NetworkWords {
    /// The check as a part of what an answer rests on, if there was one.
    fn checked(&self, u: Units) -> Option<String>;
    /// What must be said before an answer that goes on with the reduced network all the same; `None` where that is within bounds or the full
    /// one carried it.
    fn mind(&self) -> Option<String>;
}

impl NetworkWords for Network {
    fn checked(&self, u: Units) -> Option<String> {
        let c = self.check.as_ref()?;
        Some(text!(
            "network.checked_against_every_piece",
            days = c.hours / 24,
            winter = c.winter,
            within = within(&small(c.around_k, 1, u), c.eaten, c.heat_in_hand_k, u),
            then = if self.fell_back {
                said("network.was_too_far_off")
            } else {
                either(self.refined, "network.cluster_places_half_far", "")
            }
        ))
    }

    fn mind(&self) -> Option<String> {
        let beyond = self.check.as_ref().filter(|c| !c.holds());
        let c = beyond.filter(|_| self.kind != FULL)?;
        Some(text!(
            "network.quick_heat_model_strays",
            astray = astray(c),
            full_costs = said("network.full_costs")
        ))
    }
}

/// The words of the network behind a contest.
pub trait NetworksWords {
    /// What the heat of a contest rests on.
    fn basis(&self, grid: &str) -> String;
    /// What must be said before the answer: which stands are beyond bounds, by how much, and what to try.
    fn mind(&self) -> Option<String>;
}

impl NetworksWords for Networks {
    fn basis(&self, grid: &str) -> String {
        let on = text!("network.heat_network_grid", kind = self.kind, grid);
        let compared: Vec<(&Held, &Comparison)> = self
            .checks
            .iter()
            .filter_map(|h| Some((h, h.check.as_ref()?)))
            .collect();
        let most =
            |of: fn(&Comparison) -> f64| compared.iter().map(|(_, c)| of(c)).fold(0.0, f64::max);
        let furthest = compared
            .iter()
            .max_by(|(_, a), (_, b)| a.around_k.total_cmp(&b.around_k));
        let Some((furthest, c)) = furthest else {
            return if self.kind == FULL {
                format!("{on}.")
            } else {
                text!("network.not_held_against_full", on)
            };
        };
        let u = Units::Both;
        let days = compared.iter().map(|(_, c)| c.hours / 24).min();
        let which = if compared.len() == self.stands {
            match self.stands {
                1 => text!("network.one_stand_there"),
                n => text!("network.each_stands_differ_heat", stands = n),
            }
        } else {
            text!(
                "network.stands_differ_heat_written",
                compared = compared.len(),
                stands = self.stands
            )
        };
        let around = small(c.around_k, 1, u);
        let around = match furthest.hives.first() {
            Some(name) if compared.len() > 1 => text!("network.most", around, name),
            _ => around,
        };
        text!(
            "network.checked_against_every_piece_over",
            on,
            which,
            days = days.unwrap_or_default(),
            winters = winters(&compared),
            within = within(&around, most(|c| c.eaten), most(|c| c.heat_in_hand_k), u)
        )
    }

    fn mind(&self) -> Option<String> {
        let beyond: Vec<&Held> = self.checks.iter().filter(|h| !h.holds).collect();
        let worst = beyond
            .iter()
            .filter_map(|h| h.check.as_ref())
            .max_by(|a, b| a.of_bound().total_cmp(&b.of_bound()))?;
        let names: Vec<String> = beyond
            .iter()
            .flat_map(|h| h.hives.iter().map(|n| format!("\"{n}\"")))
            .collect();
        Some(text!(
            "network.quick_heat_model_strays_from",
            names = names.join(", "),
            astray = astray(worst),
            full_costs = said("network.full_costs")
        ))
    }
}

/// The winter of all checks, or what they have in common.
fn winters(compared: &[(&Held, &Comparison)]) -> String {
    let mut labels: Vec<&str> = compared.iter().map(|(_, c)| c.winter.as_str()).collect();
    labels.sort_unstable();
    labels.dedup();
    match labels.as_slice() {
        [one] => text!("network.winter", one),
        _ => text!("network.winter_sets_answer"),
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use partywall_core::answer::network::REDUCED;

    /// Differences of a winter in which only the largest around the clusters, K, may be beyond what is let pass.
    pub(crate) fn strayed(around_k: f64) -> Comparison {
        Comparison {
            winter: "2011/12".to_owned(),
            hours: 576,
            around_k,
            around_rms_k: 0.05,
            eaten: 0.002,
            mantle_k: 0.1,
            heat_in_hand_k: 0.2,
            chilled_h: 0.0,
        }
    }

    fn held(name: &str, around_k: f64) -> Held {
        let check = strayed(around_k);
        Held {
            hives: vec![name.to_owned()],
            unknowns: 900,
            holds: check.holds(),
            check: Some(check),
        }
    }

    /// Catches an excess that is hidden: no warning, one without its hive or its size, or one told of a hive that is within bounds; and a warning
    /// where all are.
    #[test]
    fn a_contest_tells_which_stand_is_off() {
        let fine = Networks::new(REDUCED, 2, vec![held("thin", 0.1), held("thick", 0.2)]);
        assert_eq!(fine.mind(), None);
        let off = Networks::new(REDUCED, 2, vec![held("thin", 0.1), held("thick", 0.42)]);
        let mind = off.mind().unwrap();
        for part in ["\"thick\"", "0.42 C", "0.3, 0.1 and 1", "--network full"] {
            assert!(mind.contains(part), "{part} not in {mind}");
        }
        assert!(!mind.contains("thin"), "{mind}");
        assert_eq!(off.check.as_ref().map(|c| c.around_k), Some(0.42));
        let basis = off.basis("coarse");
        assert!(
            basis.contains("0.4 C (0.8 F) (most in \"thick\")"),
            "{basis}"
        );
    }

    /// Catches a contest that does not say that nothing, or not all, was checked.
    #[test]
    fn what_was_not_checked_is_told() {
        let none = Networks::new(REDUCED, 2, Vec::new());
        let words = none.basis("normal");
        assert!(words.contains("not held against the full one"), "{words}");
        assert_eq!((none.mind(), none.check), (None, None));
        let some = |stands, names: &[&str]| {
            let checks = names.iter().map(|n| held(n, 0.1)).collect();
            Networks::new(REDUCED, stands, checks).basis("coarse")
        };
        assert!(some(20, &["as written", "foam"]).contains("in 2 of 20 stands"));
        assert!(some(1, &["as written"]).contains("in the one stand there is"));
        let full = Networks::new(FULL, 2, Vec::new());
        assert_eq!(full.basis("fine"), "Heat: full network on the fine grid.");
    }

    /// Catches an update that hides an excess, a run that went over to the full network and does not say why, and a warning beside it.
    #[test]
    fn a_run_tells_what_it_did_about_it() {
        let mut network = Network {
            kind: REDUCED,
            unknowns: 900,
            check: Some(strayed(0.42)),
            refined: false,
            fell_back: false,
        };
        assert!(network.mind().unwrap().contains("0.42 C"));
        network.kind = FULL;
        network.fell_back = true;
        assert_eq!(network.mind(), None);
        let words = network.checked(Units::Metric).unwrap();
        for part in ["0.4 C", "gone over with every piece"] {
            assert!(words.contains(part), "{words}");
        }
        (network.kind, network.fell_back, network.refined) = (REDUCED, false, true);
        let words = network.checked(Units::Metric).unwrap();
        assert!(words.contains("half as far apart"), "{words}");
        network.check = None;
        assert_eq!(network.checked(Units::Both), None);
    }
}
