use super::*;

/// Goes over a schema and lists properties that say nothing.
fn silent(path: &str, v: &Value, found: &mut Vec<String>) {
    match v {
        Value::Object(map) => {
            for (k, v) in map {
                let here = format!("{path}/{k}");
                if v.as_object().is_some_and(Map::is_empty) && path.ends_with("properties") {
                    found.push(here.clone());
                }
                silent(&here, v, found);
            }
        }
        Value::Array(all) => all.iter().for_each(|v| silent(path, v, found)),
        _ => {}
    }
}

fn validator() -> jsonschema::Validator {
    jsonschema::validator_for(&schema().unwrap()).unwrap()
}

fn as_json(text: &str) -> Value {
    let v: toml::Value = toml::from_str(text).unwrap();
    serde_json::to_value(v).unwrap()
}

/// Catches a setting that was added to the reader's tables and not to the schema: it is in there, but says nothing.
#[test]
fn every_setting_is_described() {
    let mut found = Vec::new();
    silent("", &schema().unwrap(), &mut found);
    assert_eq!(found, Vec::<String>::new());
}

/// Catches a schema that refuses what the reader takes: every scenario that ships.
#[test]
fn every_shipped_scenario_is_valid() {
    let v = validator();
    for name in crate::scenario::built_in_names() {
        let text = crate::scenario::built_in_text(name).unwrap();
        let errors: Vec<String> = v
            .iter_errors(&as_json(text))
            .map(|e| format!("{} at {}", e, e.instance_path()))
            .collect();
        assert_eq!(errors, Vec::<String>::new(), "{name}");
    }
}

/// Catches a schema that takes anything: slips the reader refuses must be refused here as well.
#[test]
fn slips_are_refused() {
    let v = validator();
    let demo = crate::scenario::built_in_text("larch-flats").unwrap();
    for (from, to) in [
        ("title =", "titel ="),
        ("shelter = \"partly\"", "shelter = \"windy\""),
        ("frames_of_bees = 9", "frames_of_bees = \"9\""),
        ("front = \"28.7 kg\"", "front = 28.7"),
        ("side_foam = \"25 mm xps\"", "side_foam = 25"),
        ("climate = \"champion\"", "# climate"),
        ("state = \"taped\"", "state = \"glued\""),
        ("honey_frames = 9.5", "honey_frames = 95"),
    ] {
        assert!(demo.contains(from), "{from}");
        assert!(!v.is_valid(&as_json(&demo.replacen(from, to, 1))), "{to}");
    }
}
