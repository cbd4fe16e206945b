"""From files to a campaign: the data dictionary, reader, validation, writer and workbook.

Tables are read as text without loss, parsed by the data dictionary, checked in one pass that
reports every problem, and handed on as frozen records.
"""
