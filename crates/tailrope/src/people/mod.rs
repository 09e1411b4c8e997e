//! Roles, papers, footing: what a person can bear.
