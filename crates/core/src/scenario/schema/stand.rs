//! What may be said of the stand: place, season, joints, own materials, parameters and variants.

use super::super::{MOST_HIVES, ROOT_KEYS, joints, own, season, site, stack};
use super::{Build, Of, one_or_list, words};
use crate::climate::builtin;
use crate::colony::parameters;
use serde_json::{Map, Value, json};

impl Build {
    pub(super) fn root(&self) -> Result<Value, String> {
        let level = json!({
            "description": "how many winters the stores are to be enough for: \"9 in 10\", \"90 %\" or 0.9",
            "anyOf": [{ "type": "string" }, { "type": "number", "minimum": 0.5, "maximum": 0.99 }]
        });
        let shared = self.shared();
        let every = self.table(stack::SHARED_KEYS, shared);
        let hive = self.hive();
        let hives = json!({ "description": "hives from left to right, seen from behind",
            "anyOf": [hive, { "type": "array", "minItems": 1, "maxItems": MOST_HIVES, "items": hive }] });
        let material = self.table(
            own::MATERIAL_KEYS,
            vec![
                ("name", Of::Text("name, new or known")),
                ("conductivity", Of::Quantity("conductivity")),
                ("density", Of::Quantity("density")),
                ("specific_heat", Of::Quantity("specific_heat")),
            ],
        );
        Ok(self.table(
            ROOT_KEYS,
            vec![
                ("title", Of::Text("printed on every output")),
                ("level", Of::Ready(level)),
                ("reserve", Of::Quantity("reserve")),
                ("site", Of::Ready(self.site())),
                (
                    "season",
                    Of::Ready(self.table(
                        season::SEASON_KEYS,
                        vec![
                            ("start", Of::Day("start")),
                            ("first_nectar", Of::Day("first_nectar")),
                            ("first_dandelion", Of::Day("first_nectar")),
                            ("brood_start", Of::Day("brood_start")),
                            ("brood_full", Of::Day("brood_full")),
                        ],
                    )),
                ),
                (
                    "stress",
                    Of::Ready(self.table(
                        season::STRESS_KEYS,
                        vec![
                            ("colder", Of::Quantity("colder")),
                            ("late_spring", Of::Quantity("late_spring")),
                        ],
                    )),
                ),
                ("every_hive", Of::Ready(every)),
                ("hive", Of::Ready(hives)),
                ("between", Of::Ready(one_or_list(&self.between()))),
                ("material", Of::Ready(one_or_list(&material))),
                ("parameters", Of::Ready(parameters_table()?)),
                ("variant", Of::Ready(variant())),
            ],
        ))
    }

    fn site(&self) -> Value {
        let degrees = |row| {
            let of = json!({ "anyOf": [{ "type": "number" }, { "type": "string" }] });
            Of::Ready(self.said(row, of, "degrees, such as \"40.4 N\""))
        };
        let records = format!(
            "a built-in record ({}) or the name of a weather file or folder beside the scenario",
            builtin::names()
        );
        let mut site = self.table(
            site::SITE_KEYS,
            vec![
                ("name", Of::Text("name of the place")),
                (
                    "climate",
                    Of::Ready(json!({ "type": "string", "minLength": 1, "description": records })),
                ),
                ("latitude", degrees("latitude")),
                ("longitude", degrees("longitude")),
                ("elevation", Of::Quantity("elevation")),
                (
                    "shelter",
                    Of::Word(words(&["open", "partly", "sheltered"]), "from wind"),
                ),
                (
                    "entrances_face",
                    Of::Text("south, north-west, ... or degrees from north such as \"170 deg\""),
                ),
                ("stand_height", Of::Quantity("stand_height")),
                (
                    "snow_cover",
                    Of::Flag("whether snow usually lies in mid-winter"),
                ),
            ],
        );
        site["required"] = json!(["climate"]);
        site
    }

    fn between(&self) -> Value {
        let states = joints::STATES
            .iter()
            .map(|(w, _)| (*w).to_owned())
            .collect();
        self.table(
            joints::KEYS,
            vec![
                ("state", Of::Word(states, "how the two stand")),
                ("gap", Of::Quantity("gap")),
                ("filler", Of::Text("kind of foam in the gap")),
                ("centre_wall", Of::Layers("top")),
                ("one_cover", Of::Flag("one lid, top and wrap over both")),
            ],
        )
    }
}

/// The colony's and the combs' parameters with their ranges.
fn parameters_table() -> Result<Value, String> {
    let mut properties = Map::new();
    for p in parameters::table().map_err(|e| e.to_string())? {
        let about = format!(
            "{}, {}; {} unless said; {}",
            p.name, p.unit, p.default, p.source
        );
        properties.insert(
            p.key,
            json!({ "type": "number", "minimum": p.low, "maximum": p.high, "description": about }),
        );
    }
    Ok(json!({ "type": "object", "properties": properties, "additionalProperties": false }))
}

/// A variant: its own keys; what it changes has the shape of the settings it changes, or of a part of them.
fn variant() -> Value {
    json!({
        "description": "another way to set up the same stand, for compare: the keys that change, under the names they have above",
        "type": "array",
        "items": {
            "type": "object",
            "description": "one variant",
            "required": ["name"],
            "properties": {
                "name": { "type": "string", "description": "what it is called in the answer" },
                "based_on": { "type": "string", "description": "name of a variant further up that it goes on from" },
                "remove": {
                    "description": "settings that are taken away",
                    "type": "array",
                    "items": { "type": "string", "description": "a setting, as \"hive.Left.wrap\"" }
                }
            }
        }
    })
}
