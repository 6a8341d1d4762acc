//! What may be said of a hive: its woodwork, boxes, colony, scale and feeding.

use super::super::{boxes, colony, covers, feeds, openings, stack, weighing};
use super::{Build, Of, one_or_list, words};
use crate::colony::feeding::SYRUPS;
use serde_json::{Value, json};

impl Build {
    /// What may be said of one hive or of all.
    pub(super) fn shared(&self) -> Vec<(&'static str, Of)> {
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

    pub(super) fn hive(&self) -> Value {
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
}
