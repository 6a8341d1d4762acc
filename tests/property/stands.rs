//! Random hives with their weather.

use proptest::prelude::*;
use std::fmt::Write;

/// A hive and a winter.
#[derive(Debug, Clone)]
pub struct Hive {
    pattern: &'static str,
    boxes: usize,
    walls_mm: f64,
    pub top_mm: f64,
    side_mm: f64,
    entrance_mm: f64,
    hole: bool,
    mesh: bool,
    pub frames_of_bees: f64,
    honey_frames: f64,
    shelter: &'static str,
    /// Mean of the coldest month, degC.
    cold_c: f64,
    /// Half of what a day goes up and down, K.
    swing: f64,
    /// m/s.
    pub wind: f64,
    /// First nectar, days after 1 April.
    pub nectar_day: u32,
}

pub fn hives() -> impl Strategy<Value = Hive> {
    let wood = (
        prop::sample::select(vec![
            "five-frame deep",
            "eight-frame deep",
            "ten-frame deep",
            "ten-frame medium",
        ]),
        1usize..3,
        12.0..40.0,
        0.0..80.0,
        0.0..60.0,
        20.0..150.0,
        any::<bool>(),
        any::<bool>(),
    );
    let rest = (
        3.0..9.0,
        0.5..1.0,
        prop::sample::select(vec!["open", "partly", "sheltered"]),
        -22.0..3.0,
        2.0..9.0,
        0.5..8.0,
        0u32..45,
    );
    (wood, rest).prop_map(|(w, r)| {
        let frames = match w.0 {
            "five-frame deep" => 5.0,
            "eight-frame deep" => 8.0,
            _ => 10.0,
        };
        Hive {
            pattern: w.0,
            boxes: w.1,
            walls_mm: w.2,
            top_mm: w.3,
            side_mm: w.4,
            entrance_mm: w.5,
            hole: w.6,
            mesh: w.7,
            frames_of_bees: f64::min(r.0, 0.9 * frames),
            honey_frames: frames * r.1,
            shelter: r.2,
            cold_c: r.3,
            swing: r.4,
            wind: r.5,
            nectar_day: r.6,
        }
    })
}

impl Hive {
    /// The scenario.
    pub fn text(&self) -> String {
        let layer = |mm: f64, of: &str| match mm {
            mm if mm < 5.0 => "false".to_owned(),
            mm => format!("\"{mm:.0} mm {of}\""),
        };
        let nectar = jiff::civil::date(2001, 4, 1)
            .saturating_add(jiff::Span::new().days(i64::from(self.nectar_day)));
        let one = format!(
            "{{ pattern = \"{}\", honey_frames = {:.2} }}",
            self.pattern, self.honey_frames
        );
        format!(
            "title = \"Random\"\n[site]\nclimate = \"champion\"\nlatitude = \"45 N\"\nelevation = \"200 m\"\nshelter = \"{}\"\n\
             [season]\nstart = \"1 Oct\"\nfirst_nectar = \"{}\"\n[[hive]]\nboxes = [{}]\nwalls = \"{:.1} mm pine\"\ntop = {}\nside_foam = {}\n\
             entrance = \"{:.0} x 9 mm\"\nupper_hole = {}\nfloor = \"{}\"\n[hive.colony]\nframes_of_bees = {:.2}\n",
            self.shelter,
            nectar.strftime("%-d %b"),
            vec![one; self.boxes].join(", "),
            self.walls_mm,
            layer(self.top_mm, "xps"),
            layer(self.side_mm, "eps"),
            self.entrance_mm,
            if self.hole { "\"20 mm\"" } else { "false" },
            if self.mesh { "mesh" } else { "solid" },
            self.frames_of_bees,
        )
    }

    /// A winter of days: a yearly wave, weeks of cold and mild on it.
    pub fn weather(&self) -> String {
        let mut text = String::from(
            "# station: Made\n# latitude: 45\n# longitude: -90\n# elevation_m: 200\ndate,tmin_c,tmax_c,wind_ms\n",
        );
        let first = jiff::civil::date(2000, 7, 1);
        for day in 0..420_i64 {
            let of_year = (day as f64 - 200.0) / 365.25 * std::f64::consts::TAU;
            let wave = self.cold_c + (20.0 - self.cold_c) * 0.5 * (1.0 - of_year.cos());
            let spell = 4.0 * (day as f64 / 3.3).sin() + 3.0 * (day as f64 / 7.9).cos();
            let mean = wave + spell;
            let date = first.saturating_add(jiff::Span::new().days(day));
            let _ = writeln!(
                text,
                "{date},{:.1},{:.1},{:.1}",
                mean - self.swing,
                mean + self.swing,
                self.wind
            );
        }
        text
    }
}
