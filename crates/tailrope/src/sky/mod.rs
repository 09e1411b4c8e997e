//! Sun, twilight, moon.
