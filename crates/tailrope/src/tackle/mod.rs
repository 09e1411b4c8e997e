//! Line, spool, drag, rod, leader, hook, joints; the load path.
