pub fn schema() -> Result<serde_json::Value, String> { Ok(serde_json::Value::Null) }
