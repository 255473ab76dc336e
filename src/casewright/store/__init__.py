"""Where logs are kept. One meaning, two forms: `.jsonl` files here, database rows in `shop`."""
