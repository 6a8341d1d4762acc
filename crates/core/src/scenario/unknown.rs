//! What to try for a setting that does not exist: another name, another place, or what is known there.

use crate::units;

/// Settings looked for where they do not stand: the end of the section, the name, and where they do.
const ELSEWHERE: &[(&str, &str, &str)] = &[
    (".scale", "date", SCALE_DAY),
    (".scale", "weighed", SCALE_DAY),
    (".scale", "on", SCALE_DAY),
];
const SCALE_DAY: &str = "the reading under [hive.scale] is that of the start: write its day as start under [season]; a weighing later in winter \
     goes to `partywall update --date`";

/// What keepers call a setting, and its name here (from memory): a likeness of letters would name another one.
const OTHER_NAMES: &[(&str, &str)] = &[
    ("top_entrance", "upper_hole"),
    ("upper_entrance", "upper_hole"),
    ("top_hole", "upper_hole"),
    ("bottom_entrance", "entrance"),
    ("lower_entrance", "entrance"),
];

/// What to try for the setting `name` of the section at `path`, which knows `keys`.
pub(super) fn help(path: &str, name: &str, keys: &[&str]) -> String {
    let elsewhere = ELSEWHERE
        .iter()
        .find(|(section, other, _)| *other == name && path.ends_with(section));
    if let Some((.., help)) = elsewhere {
        return (*help).to_owned();
    }
    OTHER_NAMES
        .iter()
        .find(|(other, _)| *other == name)
        .map(|(_, key)| *key)
        .filter(|key| keys.contains(key))
        .or_else(|| units::nearest(name, keys.iter().copied()))
        .map_or_else(
            || format!("known here: {}", keys.join(", ")),
            |n| format!("did you mean \"{n}\"?"),
        )
}
