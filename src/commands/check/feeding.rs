//! What can be told of the feeding planned without running a winter: syrup against the record's autumns, and the room in the combs.
//!
//! Both are [`planned`]'s own reckoning, that of a run, with what only a run knows left out: what the bees eat while the feeder is on (which
//! makes room), and how many bees are left for what is fed after the autumn.

use partywall_core::answer::weather::autumns_of;
use partywall_core::calendar::MonthDay;
use partywall_core::calendar::words;
use partywall_core::climate::{self, Record};
use partywall_core::colony::feeding::Feed;
use partywall_core::colony::parameters::Parameters;
use partywall_core::decision::feeding::last_feeding;
use partywall_core::decision::planned::{Planned, Weather, planned};
use partywall_core::decision::reading::capacity;
use partywall_core::decision::stores::STORES_PER_LITRE_SYRUP;
use partywall_core::ensemble::levels::FEWEST;
use partywall_core::hive::colony_overrides;
use partywall_core::problem::{Place, Problem, Severity};
use partywall_core::scenario::{FeedPlace, Loaded};
use partywall_core::stand::{Colony, FeedEvent, Scenario, Stack};
use partywall_report::text;
use partywall_report::words::{SyrupWords, Units, day, in_ten};

/// More than any hive holds, kg: room that is not in question.
const ANY_ROOM: f64 = 1e6;

/// What is told of the feeding of a scenario.
#[derive(Debug, Default)]
pub(super) struct Held {
    /// Feed that comes too late or finds no room, at its place.
    pub warnings: Vec<Problem>,
    /// What it was held against, and what that cannot tell; `None` when nothing is fed.
    pub note: Option<String>,
}

/// Holds the feeding of all hives against weather and combs.
pub(super) fn held(loaded: &Loaded) -> Held {
    let s = &loaded.scenario;
    let fed: Vec<(&Stack, &Colony)> = s
        .stacks
        .iter()
        .filter_map(|k| Some((k, k.colony.as_ref()?)))
        .filter(|(_, c)| !c.feeds.is_empty())
        .collect();
    let Some(parameters) = colony_overrides(s)
        .ok()
        .and_then(|o| Parameters::with(&o).ok())
        .filter(|_| !fed.is_empty())
    else {
        return Held::default();
    };
    let (record, mut warnings) = match crate::files::weather::load_at(&s.climate, &s.site.station())
    {
        Ok(record) => (Some(record), Vec::new()),
        Err(problems) => (None, problems.0),
    };
    // What stops a run is something to look at here.
    warnings
        .iter_mut()
        .for_each(|p| p.severity = Severity::Warning);
    let season = Autumns::of(record.as_ref(), s);
    for (stack, colony) in fed {
        let places: Vec<&FeedPlace> = loaded
            .feeds
            .iter()
            .filter(|f| f.hive == stack.name)
            .collect();
        warnings.extend(season.warnings(s, stack, colony, &places, &parameters));
    }
    Held {
        warnings,
        note: Some(season.note(record.as_ref(), s)),
    }
}

/// The autumns syrup is held against.
struct Autumns {
    autumn: (MonthDay, MonthDay),
    whole: Vec<climate::series::Winter>,
    /// Winters instead, where there are too few autumns.
    winters: Vec<climate::series::Winter>,
}

impl Autumns {
    fn of(record: Option<&Record>, s: &Scenario) -> Self {
        let Some(record) = record else {
            return Self {
                autumn: partywall_core::decision::feeding::autumn(
                    s.site.latitude_deg.unwrap_or(0.0),
                ),
                whole: Vec::new(),
                winters: Vec::new(),
            };
        };
        let (autumn, whole) = autumns_of(record);
        let winters = if whole.len() < FEWEST {
            record
                .winters(s.season.start, s.season.first_nectar)
                .unwrap_or_default()
        } else {
            Vec::new()
        };
        Self {
            autumn,
            whole,
            winters,
        }
    }

    fn warnings(
        &self,
        s: &Scenario,
        stack: &Stack,
        colony: &Colony,
        places: &[&FeedPlace],
        p: &Parameters,
    ) -> Vec<Problem> {
        let room = capacity(stack) - colony.stores;
        let weather = Weather {
            autumns: &self.whole,
            autumn: self.autumn,
            winters: &self.winters,
            // What is given after the autumn is not judged: any of it is taken, and finds room.
            bees_left: &[],
            eaten: &[[0.0, ANY_ROOM]],
        };
        let counts = planned(
            &colony.feeds,
            (colony.bees / p.bee_mass, room),
            s.season.start,
            &weather,
            s.level,
            p,
        );
        let at = |wanted: &dyn Fn(&FeedEvent) -> bool| {
            let i = colony.feeds.iter().position(wanted)?;
            places.get(i).map(|f| (f.file.clone(), f.place.clone()))
        };
        let mut all = Vec::new();
        if let Some(late) = counts.late.filter(|_| counts.too_late() > 0.0) {
            let on_it = |f: &FeedEvent| f.date == late && matches!(f.feed, Feed::Syrup { .. });
            let found = at(&on_it);
            let that_day = colony.feeds.iter().filter(|f| on_it(f));
            let kg: f64 = that_day.map(|f| f.feed.stores(p)).sum();
            all.push(self.too_late(s, (stack, colony), &counts, (late, kg), found, p));
        }
        if counts.no_room > 0.0 {
            let found = at(&|f| matches!(f.feed, Feed::Syrup { .. } | Feed::Frames { .. }));
            all.push(no_room(s, stack, &counts, room, found));
        }
        all
    }

    fn too_late(
        &self,
        s: &Scenario,
        (stack, colony): (&Stack, &Colony),
        counts: &Planned,
        (late, kg): (MonthDay, f64),
        at: Option<(String, Place)>,
        p: &Parameters,
    ) -> Problem {
        let u = Units::Both;
        let litres = kg / STORES_PER_LITRE_SYRUP;
        let last = last_feeding(&self.whole, colony.bees, litres, s.level, p, s.season.start);
        // On its own, without the syrup before it.
        let by = last.map_or_else(String::new, |l| {
            text!(
                "check.themselves_had",
                litres = u.syrup(litres),
                date = day(l.date)
            )
        });
        warning(
            at,
            text!(
                "check.feeding_you_plan_stores",
                name = stack.name,
                given = u.mass(counts.given),
                counts = u.mass(counts.too_late()),
                late = words(late),
                level = in_ten(s.level).replace("winters", "autumns"),
                by
            ),
            text!("check.give_earlier_dry_fondant"),
        )
    }

    fn note(&self, record: Option<&Record>, s: &Scenario) -> String {
        let room = text!(
            "check.against_room_combs_have",
            start = words(s.season.start)
        );
        let held = match record {
            Some(r) if self.whole.len() >= FEWEST => text!(
                "check.syrup_autumn_was_held",
                autumns = self.whole.len(),
                name = r.station.name,
                room
            ),
            Some(r) if !self.winters.is_empty() => text!(
                "check.has_too_few_whole",
                name = r.station.name,
                winters = self.winters.len(),
                room
            ),
            _ => text!("check.without_weather_was_held", room),
        };
        text!(
            "check.feeding_planned_how_much",
            held,
            autumn = words(self.autumn.1)
        )
    }
}

fn no_room(
    s: &Scenario,
    stack: &Stack,
    counts: &Planned,
    room: f64,
    at: Option<(String, Place)>,
) -> Problem {
    let u = Units::Both;
    warning(
        at,
        text!(
            "check.combs_have_room_feeding",
            name = stack.name,
            room = u.mass(room.max(0.0)),
            start = words(s.season.start),
            no_room = u.mass(counts.no_room),
            syrup = u.syrup(counts.no_room / STORES_PER_LITRE_SYRUP)
        ),
        text!("check.give_less_more_drawn"),
    )
}

fn warning(at: Option<(String, Place)>, what: String, help: String) -> Problem {
    let (file, place) = at.unzip();
    Problem {
        severity: Severity::Warning,
        code: "feeding",
        file: file.unwrap_or_default(),
        place,
        what,
        expected: None,
        help: Some(help),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use partywall_core::scenario;

    /// What is told of the demo's left hive with these feeds.
    fn told(feeds: &[(&str, &str, &str)]) -> Held {
        let text = scenario::built_in_text("larch-flats").unwrap();
        let feeds: String = feeds
            .iter()
            .map(|(date, kind, amount)| {
                format!(
                    "[[hive.feed]]\ndate = \"{date}\"\nkind = \"{kind}\"\namount = \"{amount}\"\n"
                )
            })
            .collect();
        let text = text.replacen("[hive.scale] ", &format!("{feeds}[hive.scale] "), 1);
        held(&scenario::parse(&text, "my.toml", None).unwrap())
    }

    /// Catches syrup in November passed over until a run, a warning at another feed than the late one, and one for syrup that comes in
    /// time, for dry sugar, or for a feed of spring, of which nothing is known.
    #[test]
    fn syrup_that_comes_too_late_is_warned_of() {
        let late = told(&[("3 Oct", "syrup", "4 L"), ("20 Nov", "syrup", "6 L")]);
        let [w] = late.warnings.as_slice() else {
            panic!("{late:?}")
        };
        assert_eq!(w.severity, Severity::Warning);
        assert!(
            w.what.starts_with("Left: of the feeding you plan") && w.what.contains("20 November"),
            "{w:?}"
        );
        let place = w.place.as_ref().unwrap();
        assert_eq!(place.text, "date = \"20 Nov\"");
        assert_eq!((w.file.as_str(), place.column), ("my.toml", 8));
        let note = late.note.unwrap();
        assert!(
            note.contains("autumns of") && note.contains("only `partywall run` tells"),
            "{note}"
        );
        for good in [
            ("3 Oct", "syrup", "4 L"),
            ("20 Nov", "dry sugar", "4 kg"),
            ("10 Apr", "syrup", "2 L"),
        ] {
            let told = told(&[good]);
            assert!(told.warnings.is_empty() && told.note.is_some(), "{told:?}");
        }
        assert!(told(&[]).note.is_none());
    }

    /// Catches feed beyond what the combs hold passed over, sugar on the frames taken for it, and room reckoned otherwise than a run does,
    /// which knows what is eaten besides.
    #[test]
    fn feed_that_finds_no_room_is_warned_of() {
        let demo = scenario::built_in("larch-flats").unwrap().scenario;
        let left = &demo.stacks[0];
        let room = capacity(left) - left.colony.as_ref().unwrap().stores;
        let p = Parameters::with(&[]).unwrap();
        let litres = |kg: f64| {
            format!(
                "{:.1} L",
                kg / partywall_core::colony::feeding::SYRUPS[0]
                    .litres(1.0)
                    .stores(&p)
            )
        };
        let much = told(&[("1 Oct", "syrup", &litres(room + 5.0))]);
        let of_room = |h: &Held| {
            h.warnings
                .iter()
                .filter(|w| w.what.contains("finds none"))
                .count()
        };
        assert_eq!(of_room(&much), 1, "{much:?}");
        let w = much
            .warnings
            .iter()
            .find(|w| w.what.contains("finds none"))
            .unwrap();
        assert!(w.what.contains(&Units::Both.mass(room)), "{w:?}");
        assert_eq!(w.place.as_ref().unwrap().text, "date = \"1 Oct\"");
        assert_eq!(
            of_room(&told(&[("1 Oct", "syrup", &litres(room - 1.0))])),
            0
        );
        assert_eq!(
            of_room(&told(&[(
                "1 Oct",
                "dry sugar",
                &format!("{:.1} kg", room + 5.0)
            )])),
            0
        );
    }

    /// Catches a scenario whose weather cannot be read that is refused here, where nothing else hangs on it, or warned of nothing.
    #[test]
    fn without_weather_the_room_is_still_looked_at() {
        let text = scenario::built_in_text("larch-flats").unwrap();
        let feed =
            "[[hive.feed]]\ndate = \"1 Oct\"\nkind = \"syrup\"\namount = \"60 L\"\n[hive.scale] ";
        let mut loaded =
            scenario::parse(&text.replacen("[hive.scale] ", feed, 1), "my.toml", None).unwrap();
        loaded.scenario.climate = climate::choose("no/such/file.csv");
        let told = held(&loaded);
        assert!(
            told.warnings
                .iter()
                .all(|w| w.severity == Severity::Warning)
        );
        assert!(
            told.warnings.iter().any(|w| w.file.contains("file.csv")),
            "{told:?}"
        );
        assert!(
            told.warnings.iter().any(|w| w.what.contains("finds none")),
            "{told:?}"
        );
        assert!(told.note.unwrap().contains("without weather"));
    }
}
