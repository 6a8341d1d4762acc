//! Weather to boundary conditions of each outer face: films, sun, sky, ventilation.
