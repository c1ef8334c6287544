"""Backups: one file that holds every row, and the way back.

The file is a zip archive, so that any unzip can look into it: one member for each table in PostgreSQL's text COPY
format (<https://www.postgresql.org/docs/current/sql-copy.html>), in the order of the primary key, and at the end
`manifest.json`. The archive's comment ends with a seal: the SHA-256 of everything before it, in hex. The schema is not
in the file: the migrations make it, up to the state that the manifest names.
"""
