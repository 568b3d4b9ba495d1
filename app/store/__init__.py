"""Designs and their revisions in a database."""

from app.store.derived import Derived
from app.store.place import default_folder
from app.store.profiles import Profiles
from app.store.records import Change, DesignRow, Head, Moment, Profile, Revision
from app.store.store import Clock, Store, open_store, utc_now

__all__ = [
    "Change",
    "Clock",
    "Derived",
    "DesignRow",
    "Head",
    "Moment",
    "Profile",
    "Profiles",
    "Revision",
    "Store",
    "default_folder",
    "open_store",
    "utc_now",
]
