"""Designs and their revisions in a database."""

from app.store.beside import Clock, utc_now
from app.store.derived import Derived
from app.store.labels import Labels, check_labels
from app.store.own_bits import OwnBits
from app.store.places import RunPlaces
from app.store.profiles import Profiles
from app.store.published import PublishedMoment, PublishedMoments
from app.store.reading import bytes_of
from app.store.records import DesignRow, Head, Moment, Past, Present, Profile, Revision, StoredChange
from app.store.sheet_codes import PrintedSheets, SheetCodes
from app.store.shelved import Shelved
from app.store.store import Store, open_store
from app.store.whole_shelf import Coming, ShelvedWhole

__all__ = [
    "Clock",
    "Coming",
    "Derived",
    "DesignRow",
    "Head",
    "Labels",
    "Moment",
    "OwnBits",
    "Past",
    "Present",
    "PrintedSheets",
    "Profile",
    "Profiles",
    "PublishedMoment",
    "PublishedMoments",
    "Revision",
    "RunPlaces",
    "SheetCodes",
    "Shelved",
    "ShelvedWhole",
    "Store",
    "StoredChange",
    "bytes_of",
    "check_labels",
    "open_store",
    "utc_now",
]
