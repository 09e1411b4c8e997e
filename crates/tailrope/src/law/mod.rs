//! Rule packs, three-valued logic, stacking, citation.
