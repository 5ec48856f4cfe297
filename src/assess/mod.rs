//! What a judged plan or a weighing means: which targets are missed, what stands in the way, which washers would cure what.
//! Takes scenarios, plans and karts with their uncertainties; gives facts and sentences.
//! Does not solve again (`tasks`) and does not lay anything out.

pub mod in_the_way;
pub mod practice;
pub mod team;
pub mod twist;
