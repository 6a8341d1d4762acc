//! Published standards and worked examples, through the public interface.

mod fao56;
mod iso10211;
mod iso6946;
mod outside_checks;
mod sun;
mod ventilation;
