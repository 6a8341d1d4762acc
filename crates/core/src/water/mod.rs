//! The water of the bees through a winter: vapour in the air of a hive, dew and ice on what is cold, and what wood takes up.
//!
//! Bees that burn honey breathe out water. The air that leaves carries part of it away; the rest gathers on lid, walls, floor and combs
//! where they are colder than the dew point, or goes into wood and back, and what is too much for a surface runs off or drips. Heat goes
//! with it: what condenses gives back what the bees spent to evaporate it.

mod balance;
mod books;
mod hour;
mod skin;
mod surface;
mod vapour;

pub use balance::{Bees, HourAir, PreparedWater};
pub use books::{Gathered, MonthOfWater, WaterBooks, WinterWater};
pub use hour::StackWater;
pub use skin::{Skin, moisture_at};
pub use surface::{InnerSurface, Patch, Wall, inner_surfaces, patches};
pub use vapour::Streams;
