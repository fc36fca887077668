"""The workshop's database: schema, migrations, backup."""
