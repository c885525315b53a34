/** Recomputes the stored answers of both references: the first model's, and the whole model's. */
import "./make-reference.ts";
import "./second/make-second.ts";
