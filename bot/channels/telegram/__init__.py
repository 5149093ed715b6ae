"""Riddle on Telegram: a durable inbox, a durable outbox, and one worker between them.

`poller` stores every raw update before it is confirmed, `worker` turns stored updates into answers in one
transaction each, `sender` delivers what is due by the rules for what may be sent twice, `weekly` files the summaries.
"""
