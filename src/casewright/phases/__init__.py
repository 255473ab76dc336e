"""The rooms: each a pure function from (state, settings) to a frozen view; none imports another."""
