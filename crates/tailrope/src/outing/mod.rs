//! The plan: limits, findings, windows, roles, kit, drag card, brief.
