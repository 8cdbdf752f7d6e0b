"""Other people's files: open packages of trials, tables, and the data file.

A package is a folder or .zip with datapackage.json (Data Package v2) and one CSV per record kind:

    write_package(book, trial_id, target) -> Path       a folder, or a file when it ends in .zip
    read_package(path, notebook=None, *, again="refuse" | "copy") -> Step    (origin import)
    open_package(path) -> TrialRecords                  what is in a package
    is_package(path) -> bool
    write_data_csv(book, trial_id, target) -> Path      every number of a trial as one tidy table

A logger file is any text in which a logger wrote times and temperatures (`exchange.logger_file`):

    look(data) -> FileReading                           what was recognised, and what is asked
    read(data_or_look, Answers(...)) -> Channels        seconds and °C by channel, with counts

The timetable of a cook day as a calendar file (`exchange.calendar_file`, RFC 5545):

    calendar_bytes(book, table, acts, alarm_min=None) -> bytes   the same act, the same UID
    write_calendar(target, made) -> Path
"""
