"""The drive sheet: what a leg is, as data; schema, loading, semantic checks, upgraders."""
