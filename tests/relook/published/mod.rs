//! The grades that a record holds, beside the publications that define them. "P": the value is
//! stated by the publication; "D": it follows from the published rule; "O": our own convention.

mod dissection;
mod lost_flow;
mod medina;
mod perforation;
mod timi;
