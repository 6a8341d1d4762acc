//! The JSON Schema of the scenario file, for editors that complete and check as one types.
//!
//! The keys are those of the reader's own tables, ranges and defaults those of `fields.toml`, words those of the presets and the
//! parameter table, so that the schema cannot drift from what is read. It is looser than the reader: what hangs on other
//! values (a filler thicker than its ledge) only the reader tells.

use super::fields::Fields;
use super::presets::Presets;
use super::{
    boxes, colony, covers, feeds, joints, layers, openings, own, season, site, stack, weighing,
};
use crate::climate::builtin;
use crate::colony::feeding::SYRUPS;
use crate::colony::parameters;
use crate::units::Quantity;
use serde_json::{Map, Value, json};

/// What may stand under a key.
enum Of {
    /// A quantity with its unit, within the range of a row of `fields.toml`.
    Quantity(&'static str),
    /// A bare number within the range of a row.
    Number(&'static str),
    /// A whole number within the range of a row.
    Count(&'static str),
    /// A day of the year.
    Day(&'static str),
    /// Any text.
    Text(&'static str),
    /// Yes or no.
    Flag(&'static str),
    /// One of a few words.
    Word(Vec<String>, &'static str),
    /// Layers of material, with the row of their default.
    Layers(&'static str),
    /// What is built elsewhere.
    Ready(Value),
}

/// Builds the schema.
struct Build {
    fields: Fields,
    presets: Presets,
}

/// The schema (JSON Schema, draft 2020-12).
///
/// # Errors
/// A damaged table in the program, in words.
pub fn schema() -> Result<Value, String> {
    let b = Build {
        fields: Fields::built_in()?,
        presets: Presets::built_in()?,
    };
    let mut root = b.root()?;
    if let Some(top) = root.as_object_mut() {
        top.insert(
            "$schema".into(),
            json!("https://json-schema.org/draft/2020-12/schema"),
        );
        top.insert("title".into(), json!("partywall scenario"));
        top.insert("description".into(), json!(
            "Hives on one stand and the winter they are to face. Values with a unit are text in quotes, counts are bare numbers."
        ));
        top.insert("required".into(), json!(["site", "hive"]));
        top.insert(
            "$defs".into(),
            json!({ "layer": b.layer(), "layers": b.layers() }),
        );
    }
    Ok(root)
}

fn words(all: &[&str]) -> Vec<String> {
    all.iter().map(|w| (*w).to_owned()).collect()
}

fn one_or_list(of: &Value) -> Value {
    json!({ "anyOf": [of, { "type": "array", "items": of }] })
}

impl Build {
    /// A table with the keys of one of the reader's tables. A key nobody describes is allowed as it is; a test sees to it that
    /// there is none.
    fn table(&self, keys: &[&str], known: Vec<(&str, Of)>) -> Value {
        let mut properties = Map::new();
        for key in keys {
            let of = known.iter().find(|(k, _)| k == key);
            properties.insert(
                (*key).into(),
                of.map_or_else(|| json!({}), |(_, of)| self.of(of)),
            );
        }
        json!({ "type": "object", "properties": properties, "additionalProperties": false })
    }

    fn of(&self, of: &Of) -> Value {
        match of {
            Of::Quantity(row) => {
                let f = self.fields.get(row);
                let examples = f.quantity().map_or("", Quantity::examples);
                self.said(
                    row,
                    json!({ "type": "string", "minLength": 1 }),
                    &format!("with its unit, such as {examples}"),
                )
            }
            Of::Number(row) | Of::Count(row) => {
                let (low, high) = self.fields.get(row).range();
                let kind = if matches!(of, Of::Count(_)) {
                    "integer"
                } else {
                    "number"
                };
                self.said(
                    row,
                    json!({ "type": kind, "minimum": low, "maximum": high }),
                    "a bare number",
                )
            }
            Of::Day(row) => self.said(
                row,
                json!({ "type": "string", "pattern": "[0-9]", "examples": ["1 Oct"] }),
                "a day without a year, such as \"1 Oct\"",
            ),
            Of::Text(about) => {
                json!({ "type": "string", "minLength": 1, "maxLength": 200, "description": about })
            }
            Of::Flag(about) => json!({ "type": "boolean", "description": about }),
            Of::Word(all, about) => json!({ "type": "string", "enum": all, "description": about }),
            Of::Layers(row) => self.said(
                row,
                json!({ "$ref": "#/$defs/layers" }),
                "layers such as \"50 mm xps\", from the inside outwards; false for none",
            ),
            Of::Ready(v) => v.clone(),
        }
    }

    /// Puts range, default and source of a row of the table of fields beside a schema.
    fn said(&self, row: &str, mut of: Value, how: &str) -> Value {
        let f = self.fields.get(row);
        let mut about = vec![how.to_owned()];
        let range = f.range_words();
        if range != "any value" {
            about.push(range);
        }
        match f.value.as_deref() {
            Some("") | None => {}
            Some(v) => about.push(format!("{v} unless said")),
        }
        about.push(f.source);
        of["description"] = json!(about.join("; "));
        of
    }

    fn layer(&self) -> Value {
        let r = json!({ "type": "string", "description": "printed R-value, such as \"R-5\" or \"RSI 0.88\"" });
        let table = self.table(
            layers::KEYS,
            vec![
                ("material", Of::Text("name of a material")),
                ("thickness", Of::Quantity("layer")),
                ("r_value", Of::Ready(r)),
            ],
        );
        json!({ "anyOf": [{ "type": "string", "minLength": 1, "examples": ["19 mm pine", "R-5 xps"] }, table] })
    }

    fn layers(&self) -> Value {
        let layer = json!({ "$ref": "#/$defs/layer" });
        json!({ "anyOf": [layer, { "type": "array", "items": layer }, { "const": false }] })
    }

    fn root(&self) -> Result<Value, String> {
        let level = json!({
            "description": "how many winters the stores are to be enough for: \"9 in 10\", \"90 %\" or 0.9",
            "anyOf": [{ "type": "string" }, { "type": "number", "minimum": 0.5, "maximum": 0.99 }]
        });
        let shared = self.shared();
        let every = self.table(stack::SHARED_KEYS, shared);
        let hive = self.hive();
        let hives = json!({ "description": "hives from left to right, seen from behind",
            "anyOf": [hive, { "type": "array", "minItems": 1, "maxItems": super::MOST_HIVES, "items": hive }] });
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
            super::ROOT_KEYS,
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

    /// What may be said of one hive or of all.
    fn shared(&self) -> Vec<(&'static str, Of)> {
        let text = json!({ "type": "string", "minLength": 1 });
        let or_none = |of: Value| json!({ "anyOf": [of, { "const": false }] });
        let hole = self.table(
            openings::HOLE_KEYS,
            vec![
                (
                    "size",
                    Of::Text("\"20 mm\" for a round hole, or \"60 x 8 mm\""),
                ),
                ("box", Of::Count("frames")),
                ("above_box_bottom", Of::Quantity("hole")),
            ],
        );
        let floor = self.table(
            stack::FLOOR_KEYS,
            vec![
                ("kind", Of::Text("solid or mesh")),
                ("board", Of::Layers("floor_board")),
                ("under", Of::Layers("top")),
                ("space", Of::Quantity("floor_space")),
            ],
        );
        let cover = self.table(
            covers::COVER_KEYS,
            vec![
                (
                    "kind",
                    Of::Word(words(&["telescoping", "flush"]), "kind of lid"),
                ),
                ("layers", Of::Layers("cover_telescoping")),
                ("overhang", Of::Quantity("overhang")),
                ("skirt", Of::Quantity("skirt")),
                ("space", Of::Quantity("cover_space")),
                ("finish", Of::Word(self.finishes(), "surface of the lid")),
            ],
        );
        let sides = self.table(
            covers::SIDE_KEYS,
            covers::SIDE_KEYS
                .iter()
                .map(|k| (*k, Of::Layers("top")))
                .collect(),
        );
        let ledge = self.table(
            stack::LEDGE_KEYS,
            vec![
                (
                    "shelf",
                    Of::Flag("whether a board closes the underside of the wider box"),
                ),
                ("shelf_thickness", Of::Quantity("ledge_shelf")),
                (
                    "filler",
                    Of::Text("\"60 mm eps\", or a material that fills the void"),
                ),
                ("filler_thickness", Of::Quantity("ledge_filler")),
            ],
        );
        let layers = json!({ "$ref": "#/$defs/layers" });
        vec![
            (
                "boxes",
                Of::Ready(one_or_list(&json!({ "anyOf": [text, self.one_box()] }))),
            ),
            ("walls", Of::Layers("walls")),
            ("finish", Of::Word(self.finishes(), "outer surface")),
            ("floor", Of::Ready(json!({ "anyOf": [text, floor] }))),
            ("inner_cover", Of::Layers("inner_cover")),
            ("top", Of::Layers("top")),
            (
                "cover",
                Of::Ready(json!({ "anyOf": [{ "enum": ["telescoping", "flush"] }, cover] })),
            ),
            (
                "wrap",
                Of::Ready(json!({ "anyOf": [{ "const": true }, layers] })),
            ),
            ("side_foam", Of::Ready(json!({ "anyOf": [layers, sides] }))),
            ("ledge", Of::Ready(ledge)),
            ("entrance", Of::Ready(or_none(text.clone()))),
            (
                "upper_hole",
                Of::Ready(json!({ "anyOf": [text, { "const": false }, hole] })),
            ),
            ("top_notch", Of::Ready(or_none(text))),
        ]
    }

    fn finishes(&self) -> Vec<String> {
        self.presets
            .finishes()
            .iter()
            .map(|f| f.name.clone())
            .collect()
    }

    fn one_box(&self) -> Value {
        let honey = json!({ "anyOf": [
            self.of(&Of::Number("honey_frames")),
            { "type": "array", "items": self.of(&Of::Number("honey_frame")) }
        ] });
        let pattern = format!(
            "one of {}, ten-frame boxes of another count, or leave it out and give the sizes",
            self.presets.pattern_names().join(", ")
        );
        self.table(
            boxes::KEYS,
            vec![
                (
                    "pattern",
                    Of::Ready(json!({ "type": "string", "minLength": 1, "description": pattern })),
                ),
                ("length", Of::Quantity("box_length")),
                ("width", Of::Quantity("box_width")),
                ("inside_length", Of::Quantity("box_length")),
                ("inside_width", Of::Quantity("box_width")),
                ("depth", Of::Quantity("box_depth")),
                ("walls", Of::Layers("walls")),
                ("frames", Of::Count("frames")),
                ("pitch", Of::Quantity("pitch")),
                ("comb_length", Of::Quantity("comb_length")),
                ("comb_height", Of::Quantity("comb_height")),
                ("comb_thickness", Of::Quantity("comb_thickness")),
                ("full_frame", Of::Quantity("full_frame")),
                (
                    "frames_at",
                    Of::Word(
                        words(&["centre", "center", "left", "right"]),
                        "where frames stand in a box wider than they need",
                    ),
                ),
                ("followers", Of::Count("followers")),
                ("follower_thickness", Of::Quantity("follower_thickness")),
                ("filler", Of::Text("material beside the frames")),
                ("honey_frames", Of::Ready(honey)),
            ],
        )
    }

    fn hive(&self) -> Value {
        let colony = self.table(
            colony::KEYS,
            vec![
                ("frames_of_bees", Of::Number("frames_of_bees")),
                ("counted_at", Of::Quantity("counted_at")),
                ("counted_in_box", Of::Count("frames")),
                ("bees", Of::Quantity("bees")),
                ("honey", Of::Quantity("honey")),
                ("pollen", Of::Quantity("pollen")),
                ("club_stores", Of::Quantity("club_stores")),
                ("dies", Of::Day("start")),
            ],
        );
        let scale = self.table(
            weighing::SCALE_KEYS,
            vec![
                ("front", Of::Quantity("reading")),
                ("back", Of::Quantity("reading")),
                ("whole", Of::Quantity("reading")),
                ("one_side", Of::Quantity("reading")),
                (
                    "lift",
                    Of::Word(
                        words(&["whole", "front and back", "one side"]),
                        "how it is lifted when no reading is given",
                    ),
                ),
                ("tare", Of::Quantity("tare")),
            ],
        );
        let heater = self.table(
            stack::HEATER_KEYS,
            vec![
                ("power", Of::Quantity("heater_power")),
                ("box", Of::Count("frames")),
            ],
        );
        let strengths = SYRUPS.iter().map(|s| s.name.to_owned()).collect();
        let mut feed = self.table(
            feeds::KEYS,
            vec![
                ("date", Of::Day("start")),
                (
                    "kind",
                    Of::Word(
                        words(&["syrup", "dry sugar", "fondant", "honey frames"]),
                        "what is fed",
                    ),
                ),
                (
                    "amount",
                    Of::Text("\"10 L\", \"2 US gal\", \"2 imp gal\", or a weight"),
                ),
                ("sugar", Of::Quantity("feed_mass")),
                ("strength", Of::Word(strengths, "sugar to water")),
                ("box", Of::Count("frames")),
                ("frame", Of::Count("frames")),
            ],
        );
        feed["required"] = json!(["date", "kind"]);
        let mut known = self.shared();
        known.extend([
            ("name", Of::Text("name of the hive")),
            ("colony", Of::Ready(colony)),
            ("scale", Of::Ready(scale)),
            ("heater", Of::Ready(heater)),
            ("feed", Of::Ready(one_or_list(&feed))),
        ]);
        self.table(&stack::keys(), known)
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

#[cfg(test)]
mod tests;

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
