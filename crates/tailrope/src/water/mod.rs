//! Drag on lines, baits and bodies; the shape of a cable in a stream.
